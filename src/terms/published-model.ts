import type { Source, Sureness } from './source.js'

/** One number that a published model stands on, with how sure we are of it. */
export interface Coefficient {
  readonly name: string
  readonly value: number
  readonly unit?: string
  readonly sureness: Sureness
  /** What a reader must know of this number alone. */
  readonly note?: string
}

/** What a model is, whom it was fitted on, and every coefficient: so that all of them can be listed and checked in print. */
export interface PublishedModel {
  readonly id: string
  readonly about: string
  /** The model's name as a reader sees it. */
  readonly model: string
  readonly population: string
  readonly years: string
  readonly source: Source
  readonly coefficients: readonly Coefficient[]
}
