import type { AskedConsult } from '../../consult/consult.js'
import type { Answer } from '../people-words.js'

/** What a document takes of a consult; a folded consult has this shape. */
export type DocumentConsult = Pick<
  AskedConsult,
  | 'status'
  | 'ref'
  | 'askedBy'
  | 'askedAt'
  | 'asking'
  | 'question'
  | 'revision'
  | 'opinions'
  | 'revealed'
  | 'comments'
  | 'tasks'
  | 'decisions'
  | 'outcomes'
  | 'deputyAsked'
  | 'recalls'
>

/** Grades that count as senior where colleagues describe themselves in their own words: a convention of this project. */
const SENIOR = /\b(?:consultant|attending|professor|associate specialist|head of department)\b/i

/** Whether a senior has answered; where somebody answered without stating a grade, that cannot be known. */
export function seniorReply(opinions: readonly Pick<Answer, 'by'>[]): 'replied' | 'not-known' | 'none' {
  if (opinions.some(({ by }) => by.grade !== undefined && SENIOR.test(by.grade))) return 'replied'
  return opinions.some(({ by }) => by.grade === undefined) ? 'not-known' : 'none'
}
