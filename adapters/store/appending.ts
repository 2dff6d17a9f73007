import { fold, opinionsHidden } from '../../src/consult/consult.js'
import type { ConsultEvent } from '../../src/consult/events.js'
import { GENESIS, seal } from '../../src/trail/chain.js'
import { asSaidNow, eventWords } from '../../src/trail/event-words.js'
import { searchText } from '../../src/trail/find.js'
import { mapFreeTexts } from '../../src/trail/free-texts.js'
import type { Database, Writer } from './database.js'
import { keepFacts } from './facts.js'
import { eventRow, eventsOf } from './reading.js'
import { lookAgainAt } from './reminding.js'
import { hashText, textRow } from './text-packing.js'
import { wellFormed } from './well-formed.js'

/**
 * Appends events of one consult behind the `expected` ones it has, and brings the search index along.
 * @returns false, with nothing written, when the consult has moved on meanwhile
 */
export async function appendEvents(
  database: Database,
  writer: Writer,
  events: readonly ConsultEvent[],
  expected: number,
  freshSalt: () => string,
): Promise<boolean> {
  const ref = events[0]?.ref
  if (ref === undefined) return true
  await database.lockChain(writer)

  const { version } = await writer
    .selectFrom('events')
    .select((build) => build.fn.max('version').as('version'))
    .where('ref', '=', ref)
    .executeTakeFirstOrThrow()
  if ((version ?? 0) !== expected) return false

  const head = await writer
    .selectFrom('events')
    .select(['position', 'hash'])
    .orderBy('position', 'desc')
    .limit(1)
    .executeTakeFirst()
  let position = head?.position ?? 0
  let previous = head ? hashText(head.hash) : GENESIS
  for (const [index, event] of events.entries()) {
    if (event.ref !== ref) throw new Error(`Events of ${ref} and ${event.ref} cannot be appended together`)
    position += 1
    const { link, texts } = seal(
      mapFreeTexts(event, wellFormed),
      { position, version: expected + index + 1, previous },
      freshSalt,
    )
    await writer.insertInto('events').values(eventRow(link)).execute()
    if (texts.length > 0) await writer.insertInto('texts').values(texts.map(textRow)).execute()
    previous = link.hash
  }
  await derive(database, writer, ref)
  await lookAgainAt(writer, ref, events.at(-1)?.at ?? '')
  return true
}

/** Brings what is derived from a consult's events up to date: its row, its search words and its facts. */
export async function derive(database: Database, writer: Writer, ref: string): Promise<void> {
  const { consult, row, words } = derivedFrom(ref, await eventsOf(writer, ref))
  const { number } = await writer
    .insertInto('consults')
    .values(row)
    .onConflict((conflict) => conflict.column('ref').doUpdateSet({ opinions: row.opinions, status: row.status }))
    .returning('number')
    .executeTakeFirstOrThrow()
  await keepFacts(writer, number, consult)
  await database.index(writer, number, words)
}

/** A task that somebody needs first says what their opinion says. */
const tellsOpinion = (event: ConsultEvent): boolean =>
  event.type === 'opinion-given' || (event.type === 'task-opened' && event.from === 'opinion')

/** What follows from a consult's events alone: how it stands, its row in the list, and the words it is found by. */
export function derivedFrom(ref: string, events: readonly ConsultEvent[]) {
  const [asked] = events
  const consult = fold(events)
  if (asked?.type !== 'consult-asked' || consult.status === 'not-asked')
    throw new Error(`The trail is broken: ${ref} does not begin with its asking`)
  const { platform, workspace } = asked.place
  // What is kept back from a reader must not be found by its words either.
  const shown = opinionsHidden(consult) ? events.filter((event) => !tellsOpinion(event)) : events
  return {
    consult,
    row: { ref, platform, workspace, asked_at: asked.at, opinions: consult.opinions.length, status: consult.status },
    words: {
      asked: searchText([ref, asked.at.slice(0, 10), asked.by.name, asked.words, asked.question ?? ''].join(' ')),
      talk: searchText(asSaidNow(shown).slice(1).map(eventWords).join(' ')),
    },
  }
}
