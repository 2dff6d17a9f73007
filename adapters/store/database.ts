import type { Kysely, Transaction } from 'kysely'
import type { Query } from '../../src/trail/find.js'
import type { Scope } from '../../src/trail/trail-store.js'
import type { Tables } from './tables.js'

export type Reader = Kysely<Tables> | Transaction<Tables>
export type Writer = Transaction<Tables>

/** What differs from one database to another; everything else in this room is free of dialects. */
export interface Database {
  readonly db: Kysely<Tables>
  /** The consults that match, best first, without the best `skip`: all that is told of them, in one query. */
  search(query: Query, scope: Scope, limit: number, skip: number): Promise<readonly FoundRow[]>
  /** Puts the words of a consult in place of those it had. */
  index(writer: Writer, consult: number, words: { readonly asked: string; readonly talk: string }): Promise<void>
  /** Keeps other processes from appending until the transaction ends. */
  lockChain(writer: Writer): Promise<void>
  /** Present where several processes may write at once. */
  readonly sharing?: Sharing
  /**
   * Clears away what the database still holds of texts that were erased, in its free pages and its search index.
   * @returns `in-use` where somebody who reads keeps it from clearing all
   */
  scrub(): Promise<'cleared' | 'in-use'>
  close(): Promise<void>
}

/** A consult with its asking as it is sealed. */
export interface FoundRow {
  readonly ref: string
  readonly opinions: number
  readonly body: Uint8Array
}

export interface Sharing {
  /** This process, by a name that no other has. */
  readonly holder: string
  /** Keeps other processes from taking work until the transaction ends. */
  lockQueues(writer: Writer): Promise<void>
}

/** Something only whoever runs the program can mend. `code` is listed for them with cause and remedy. */
export const fault = (code: string, message: string, cause?: unknown): Error & { readonly code: string } =>
  Object.assign(new Error(message, cause === undefined ? {} : { cause }), { code })
