import type { StatementWorking } from './risk-statement.js'
import type { Source } from './source.js'
import type { Step } from './steps.js'

/** A number for the operation: a pressure, a size, a dose, a count of cells; or the reason why there is none for this eye. */
export interface SurgeryStatement {
  readonly id: string
  readonly about: string
  readonly step: Step
  readonly words: string
  readonly values: { readonly name: string; readonly value: number; readonly unit: string }[]
  /** Why the model does not hold for this eye. */
  readonly outOfRange?: string
  readonly source: Source
  readonly working?: StatementWorking
}
