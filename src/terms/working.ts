import type { Source } from './source.js'

/** How a number came about: what went in, what was computed on the way, by which equation, from which source. */
export interface WorkingRecord {
  readonly inputs: readonly { readonly name: string; readonly value: number | string; readonly unit?: string }[]
  readonly steps: readonly { readonly name: string; readonly value: number; readonly unit?: string }[]
  readonly equation: string
  readonly source: Source
}
