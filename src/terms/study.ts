import type { StatementWorking } from './risk-statement.js'
import type { Source, Sureness } from './source.js'

/** What one study found, in its own terms: stands beside others and is never multiplied with them. */
export interface Study {
  /** Who was studied and how many. */
  readonly population: string
  readonly years: string
  readonly finding: string
  readonly cite: string
  readonly sureness: Sureness
}

/** Studies side by side as a working record, so that a reader can unfold what a band or a sentence stands on. */
export const sideBySide = (studies: readonly Study[], equation: string, source: Source): StatementWorking => ({
  inputs: studies.map(({ population, years, finding, cite }) => ({
    name: cite,
    value: `${finding} (${population}, ${years})`,
  })),
  steps: [],
  equation,
  source,
})
