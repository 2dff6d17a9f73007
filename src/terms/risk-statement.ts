import type { Source } from './source.js'
import type { WorkingRecord } from './working.js'

/** A working record whose lists belong to the statement that carries it, so that the plan can hold them as they are. */
export interface StatementWorking {
  readonly inputs: WorkingRecord['inputs'][number][]
  readonly steps: WorkingRecord['steps'][number][]
  readonly equation: string
  readonly source: Source
}

/**
 * One published model's answer about one harm. A statement without `value` and `band` says in `words` and
 * `factorsUnstated` what is missing. Statements of different models stand side by side and are never combined.
 */
export interface RiskStatement {
  readonly id: string
  readonly about: string
  readonly model: string
  readonly population: string
  readonly years: string
  /** For whom: the surgeon who operates first, or "not stated". */
  readonly surgeon?: string
  /** Probability, 0 to 1. */
  readonly value?: number
  /** Probability range, 0 to 1, or words alone. */
  readonly band?: { readonly low?: number; readonly high?: number; readonly words: string }
  readonly recalibrated: { readonly baseRate: string; readonly value: number }[]
  readonly otherSurgeons: { readonly surgeon: string; readonly value: number }[]
  readonly factorsUsed: { readonly factor: string; readonly level: string; readonly effect: string }[]
  /** Facts nobody stated: left out of the figure, never taken as absent. */
  readonly factorsUnstated: { readonly factor: string; readonly wouldChange: string }[]
  readonly words: string
  readonly caveats: string[]
  readonly source: Source
  readonly working?: StatementWorking
}
