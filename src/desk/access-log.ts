import type { Person } from '../consult/people.js'

export const ACCESSES = ['viewed', 'searched', 'exported'] as const

/**
 * Somebody asked to see what the trail holds. What is put before people unasked is no look of theirs: cards and notes in a
 * channel, previews of what they wrote, reminders, the form behind a button, and their own list of consults (Home), which
 * names nothing but what they have a part in. Of a search, the words as they were typed, after the identifier guard.
 */
export interface Access {
  readonly by: Pick<Person, 'id' | 'name'>
  readonly what: (typeof ACCESSES)[number]
  /** The consult that was shown; absent for a search. */
  readonly ref?: string
  readonly words?: string
  /** ISO time, UTC. */
  readonly at: string
}

/** Who searched or viewed what. Rows are only ever added. */
export interface AccessLog {
  note(access: Access): Promise<void>
  /** Accesses to one consult, or to anything, newest first. */
  newest(limit: number, ref?: string): Promise<readonly Access[]>
}

/** Somebody's look at something. Of a person no more is kept than who it was. */
export const accessBy = (
  { id, name }: Pick<Person, 'id' | 'name'>,
  at: string,
  seen: Pick<Access, 'what' | 'ref' | 'words'>,
): Access => ({ by: { id, name }, at, ...seen })
