import type { TrailReading } from '../../src/trail/trail-store.js'
import type { Reader } from './database.js'
import type { Run, SealingDialect } from './seal-keeping.js'

/** What was looked at beside the chain itself. Remarks are no faults: a person should know of them. */
export interface TableCheck {
  readonly name: string
  readonly faults: readonly string[]
  readonly remarks: readonly string[]
}

export const check = (name: string, faults: readonly string[], remarks: readonly string[] = []): TableCheck => ({
  name,
  faults,
  remarks,
})

/** At most so many rows are named for one fault. */
export const NAMED = 5

/** The words by which a consult must be found. */
export interface ConsultWords {
  readonly number: number
  readonly ref: string
  readonly platform: string
  readonly workspace: string
  readonly words: { readonly asked: string; readonly talk: string }
}

/** A trail at one moment, open to be examined; nothing in it is changed. What a server writes meanwhile is not seen. */
export interface Examining {
  readonly reader: Reader
  readonly run: Run
  readonly how: SealingDialect
  readonly trail: TrailReading
  /** What only a database of this kind can be asked about itself: its files, its guards, its counters. */
  itself(): Promise<readonly TableCheck[]>
  /** Compares the search index with the words that should be in it. */
  searchFaults(consults: AsyncIterable<ConsultWords>): Promise<readonly string[]>
  close(): Promise<void>
}

export const noSearch = (): Promise<never> => Promise.reject(new Error('the search is not asked here'))
