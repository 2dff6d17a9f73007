import type { Opinion } from './opinion.js'
import type { Person, Place } from './people.js'

/**
 * What has happened to a consult, past tense, never edited. `by` and `at` (ISO, UTC) stand on each.
 * Plans are stored beside the events under their content hash and are read as they were, never recomputed.
 */
interface Happened {
  readonly by: Person
  readonly at: string
}

export interface ConsultAsked extends Happened {
  readonly type: 'consult-asked'
  readonly ref: string
  readonly place: Place
  readonly planHash: string
  /** The asker's question in their own words, where there is one. */
  readonly question?: string
  /** Words a search finds this consult by, made from the plan. */
  readonly words: string
}

export interface OpinionGiven extends Happened {
  readonly type: 'opinion-given'
  readonly ref: string
  /** The revision of the case that was answered, from 1. */
  readonly revision: number
  readonly opinion: Opinion
}

/** Something said in the thread, kept as part of the talk. */
export interface CommentMade extends Happened {
  readonly type: 'comment-made'
  readonly ref: string
  readonly text: string
}

export type ConsultEvent = ConsultAsked | OpinionGiven | CommentMade
