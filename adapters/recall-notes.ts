import { randomBytes } from 'node:crypto'
import type { Card } from '../src/cards/card.js'
import { threadSentenceCard } from '../src/cards/note-cards.js'
import type { Person, Place } from '../src/consult/people.js'
import type { Outbound } from '../src/desk/ports.js'
import { contentHash } from '../src/trail/chain.js'
import type { Database } from './store/database.js'
import { channelOf, enqueue } from './store/outbox-rows.js'

/** One note for the thread of one consult. */
export interface RecallNote {
  readonly ref: string
  readonly place: Place
  readonly to: readonly Person[]
  /** What was found wrong, in one sentence. */
  readonly wrong: string
  readonly sentence: string
}

/**
 * Puts one note a consult on its way, in one transaction each. A consult is told of one thing once, however often the
 * command is run and whatever a later program computes anew: what was found wrong is the key of a delivery that counts
 * as handled.
 * @returns how many were put, and how many had been before
 */
export async function putNotes(
  database: Pick<Database, 'db'>,
  notes: readonly RecallNote[],
  now: string,
): Promise<{ readonly put: number; readonly before: number }> {
  let put = 0
  for (const note of notes) {
    const outbound = noteOf(note)
    const key = `recall:${contentHash([note.ref, note.wrong])}`
    const fresh = await database.db.transaction().execute(async (writer) => {
      const { numInsertedOrUpdatedRows } = await writer
        .insertInto('inbox')
        .values({
          key,
          at: now,
          channel: `${note.place.platform} ${channelOf(note.place)}`,
          payload: null,
          state: 'done',
          attempts: 0,
          due: null,
          error_ref: null,
        })
        .onConflict((conflict) => conflict.column('key').doNothing())
        .executeTakeFirstOrThrow()
      if (numInsertedOrUpdatedRows !== 1n) return false
      await enqueue(writer, outbound, now, () => randomBytes(16).toString('hex'))
      return true
    })
    if (fresh) put += 1
  }
  return { put, before: notes.length - put }
}

function noteOf({ ref, place, to, wrong, sentence }: RecallNote): Outbound {
  const card: Card = threadSentenceCard(`Recall · ${ref}`, `${wrong} ${sentence}`)
  return { kind: 'thread-note', ref, place, card, mentions: to.map(({ id }) => id) }
}
