import { randomBytes } from 'node:crypto'
import type { Card } from '../src/cards/card.js'
import { threadSentenceCard } from '../src/cards/note-cards.js'
import type { Person, Place } from '../src/consult/people.js'
import type { Outbound } from '../src/desk/ports.js'
import { contentHash } from '../src/trail/chain.js'
import { appendEvents } from './store/appending.js'
import type { Database, Writer } from './store/database.js'
import { channelOf, enqueue } from './store/outbox-rows.js'
import { hasCard } from './store/record-keeping.js'

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
 * Writes the recall into each consult, whose card says it from then on, and puts one note for its people on its way, in one
 * transaction each. A consult is told of one thing once, however often the
 * command is run and whatever a later program computes anew: what was found wrong is the key of a delivery that counts
 * as handled.
 * @returns how many were put, and how many had been before
 */
export async function putNotes(
  database: Database,
  notes: readonly RecallNote[],
  now: string,
  by: Pick<Person, 'id' | 'name'>,
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
      await writeInto(database, writer, note, now, by)
      await enqueue(writer, outbound, now, freshMark)
      return true
    })
    if (fresh) put += 1
  }
  return { put, before: notes.length - put }
}

const freshMark = (): string => randomBytes(16).toString('hex')

async function writeInto(
  database: Database,
  writer: Writer,
  { ref, place, wrong, sentence }: RecallNote,
  at: string,
  by: Pick<Person, 'id' | 'name'>,
): Promise<void> {
  await database.lockChain(writer)
  const { events } = await writer
    .selectFrom('events')
    .select((build) => build.fn.countAll<number>().as('events'))
    .where('ref', '=', ref)
    .executeTakeFirstOrThrow()
  const recalled = { type: 'consult-recalled', ref, by, at, wrong, here: sentence } as const
  if (!(await appendEvents(database, writer, [recalled], Number(events), freshMark)))
    throw new Error(`${ref} could not be written to`)
  if (await hasCard(writer, ref)) await enqueue(writer, { kind: 'consult-card', ref, place }, at, freshMark)
}

function noteOf({ ref, place, to, wrong, sentence }: RecallNote): Outbound {
  const card: Card = threadSentenceCard(`Recall · ${ref}`, `${wrong} ${sentence}`)
  return { kind: 'thread-note', ref, place, card, mentions: to.map(({ id }) => id) }
}
