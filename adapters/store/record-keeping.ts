import type { ConsultAsked, ConsultEvent } from '../../src/consult/events.js'
import { commitmentsOf } from '../../src/trail/chain.js'
import { type RecordAct, sealRow } from '../../src/trail/record-acts.js'
import { derive } from './appending.js'
import type { Database, Reader, Writer } from './database.js'
import { enqueue } from './outbox-rows.js'
import { consultsNaming, type Naming } from './plan-sharing.js'
import { eventsOf, linkOf, linksOf } from './reading.js'
import { hashBytes, hashText, unpackText } from './text-packing.js'

/** Something of a consult that can be erased without breaking the chain. */
export interface Erasable {
  /** Commitment of a text, or hash of a plan. */
  readonly id: string
  readonly kind: 'text' | 'plan'
  readonly event: ConsultEvent['type']
  readonly by: string
  readonly at: string
  /** Absent for a plan. */
  readonly text?: string
}

/** Who does something to the records, when and why. */
export interface Doing {
  readonly by: string
  readonly at: string
  readonly because: string
}

export interface DueConsult {
  readonly ref: string
  /** When something last happened to it. */
  readonly lastAt: string
  readonly held: boolean
}

/** Drafts left open and deliveries that could never be handled: what else holds words that people typed. */
export interface DueLeftovers {
  readonly drafts: number
  readonly deliveries: number
}

export async function erasableOf(reader: Reader, ref: string): Promise<readonly Erasable[]> {
  const links = await linksOf(reader, ref)
  const found: Erasable[] = []
  for (const link of links) {
    const event = JSON.parse(link.body) as ConsultEvent & { readonly planHash?: string }
    const common = { event: event.type, by: event.by.name, at: event.at }
    const commitments = commitmentsOf(link)
    const rows =
      commitments.length === 0
        ? []
        : await reader.selectFrom('texts').selectAll().where('commitment', 'in', commitments.map(hashBytes)).execute()
    for (const { commitment, text } of rows)
      if (text !== null) found.push({ ...common, id: hashText(commitment), kind: 'text', text: unpackText(text) })
    if (event.planHash !== undefined) {
      const plan = await reader
        .selectFrom('plans')
        .select('body')
        .where('hash', '=', hashBytes(event.planHash))
        .executeTakeFirst()
      if (plan && plan.body.length > 0) found.push({ ...common, id: event.planHash, kind: 'plan' })
    }
  }
  return found
}

export async function isHeld(reader: Reader, ref: string): Promise<boolean> {
  const row = await reader
    .selectFrom('record_acts')
    .select('act')
    .where('ref', '=', ref)
    .where('act', 'in', ['hold-set', 'hold-lifted'])
    .orderBy('number', 'desc')
    .limit(1)
    .executeTakeFirst()
  return row?.act === 'hold-set'
}

/** What came of an erasure. */
export type Erasure =
  | { readonly done: 'erased' /** Consults that shared an erased plan, and have none now. */; readonly alsoOf: readonly string[] }
  /** Nothing was done: this consult is to be kept, and is the one to be erased or shares a plan with it. */
  | { readonly done: 'held'; readonly ref: string }

/** What was found before of the consults that share plans, and which of them may lose theirs. */
export interface Sharing {
  readonly naming: Naming
  readonly mayLose: (ref: string) => boolean
}

/**
 * Erases texts and plans of a consult and records who did it and why. The events stand; a text reads as erased from now on.
 * The words of the consult in the search follow, and its card is made anew; so it is with those that shared its plan. With the
 * plan go the previews that its asker had made before: they hold the case as it was typed.
 */
export async function erase(
  database: Database,
  ref: string,
  chosen: readonly Pick<Erasable, 'id' | 'kind'>[],
  doing: Doing,
  sharing?: Sharing,
): Promise<Erasure> {
  const plans = chosen.filter(({ kind }) => kind === 'plan').map(({ id }) => id)
  // Looked for beforehand, since a long trail takes its time and nobody can write meanwhile.
  const before = sharing?.naming ?? (await consultsNaming(database.db, plans))
  return database.db.transaction().execute(async (writer): Promise<Erasure> => {
    await database.lockChain(writer)
    const since = await consultsNaming(writer, plans, before.upTo)
    const concerned = [...new Set([ref, ...plans.flatMap((id) => [...(before.by.get(id) ?? []), ...(since.by.get(id) ?? [])])])]
    for (const one of concerned) {
      const kept = one !== ref && sharing?.mayLose(one) === false
      if (kept || (await isHeld(writer, one))) return { done: 'held', ref: one }
    }
    for (const { id, kind } of chosen) {
      if (kind === 'text') {
        await writer.updateTable('texts').set({ salt: null, text: null }).where('commitment', '=', hashBytes(id)).execute()
      } else {
        await writer.updateTable('plans').set({ body: new Uint8Array() }).where('hash', '=', hashBytes(id)).execute()
        // Without its plan nobody is reminded of anything.
        await writer.deleteFrom('waking').where('ref', '=', ref).execute()
      }
      await act(writer, { ...doing, act: kind === 'text' ? 'text-erased' : 'plan-erased', ref, subject: id })
    }
    for (const one of concerned) {
      await derive(database, writer, one)
      const [asked] = await eventsOf(writer, one)
      if (asked?.type !== 'consult-asked') continue
      if (plans.length > 0) await clearPreviews(writer, asked)
      if (await hasCard(writer, one))
        await enqueue(writer, { kind: 'consult-card', ref: one, place: asked.place }, doing.at, noSalt)
    }
    return { done: 'erased', alsoOf: concerned.slice(1) }
  })
}

/** Previews that somebody left, or set aside for correction, before they put the case. */
const clearPreviews = (writer: Writer, { by, at }: ConsultAsked) =>
  writer
    .updateTable('drafts')
    .set({ state: 'cancelled', text: null, plan: null, asking: null })
    .where('person', '=', by.id)
    .where('state', 'in', ['open', 'corrected'])
    .where('at', '<=', at)
    .execute()

export const hasCard = async (reader: Reader, ref: string): Promise<boolean> =>
  (await reader.selectFrom('outbox').select('seq').where('ref', '=', ref).where('kind', '=', 'part').limit(1).execute()).length >
  0

// A card that stands already is only marked as wanted anew; a fresh mark is for one that is made.
const noSalt = (): string => {
  throw new Error('no message is to be made here')
}

/** @returns whether anything changed */
export function setHold(database: Database, ref: string, on: boolean, doing: Doing): Promise<boolean> {
  return database.db.transaction().execute(async (writer) => {
    await database.lockChain(writer)
    if ((await isHeld(writer, ref)) === on) return false
    await act(writer, { ...doing, act: on ? 'hold-set' : 'hold-lifted', ref, subject: '' })
    return true
  })
}

/** Notes that every row was sealed anew, which opening the database for it does with its first transaction. */
export function noteSealing(database: Database, subject: string, doing: Doing): Promise<void> {
  return database.db.transaction().execute(async (writer) => {
    await database.lockChain(writer)
    await act(writer, { ...doing, act: 'seals-renewed', ref: '', subject })
  })
}

async function act(writer: Writer, done: Omit<RecordAct, 'number' | 'previous' | 'hash'>): Promise<void> {
  const last = await writer
    .selectFrom('record_acts')
    .select(['number', 'hash'])
    .orderBy('number', 'desc')
    .limit(1)
    .executeTakeFirst()
  await writer.insertInto('record_acts').values(sealRow(done, last)).execute()
}

const CONSULTS_AT_ONCE = 500

/** Consults to which nothing has happened since `before` and of which something can still be erased, oldest asked first. */
export async function* dueConsults(reader: Reader, before: string): AsyncGenerator<DueConsult> {
  for (let after = 0; ; ) {
    const rows = await reader
      .selectFrom('consults')
      .select(['number', 'ref'])
      .where('asked_at', '<', before)
      .where('number', '>', after)
      .orderBy('number')
      .limit(CONSULTS_AT_ONCE)
      .execute()
    for (const { ref } of rows) {
      const last = await reader
        .selectFrom('events')
        .selectAll()
        .where('ref', '=', ref)
        .orderBy('version', 'desc')
        .limit(1)
        .executeTakeFirstOrThrow()
      const { at: lastAt } = JSON.parse(linkOf(last).body) as ConsultEvent
      if (lastAt >= before || (await erasableOf(reader, ref)).length === 0) continue
      yield { ref, lastAt, held: await isHeld(reader, ref) }
    }
    const last = rows.at(-1)
    if (!last) return
    after = last.number
  }
}

export async function dueLeftovers(reader: Reader, before: string): Promise<DueLeftovers> {
  const count = (row: { readonly count: number | string | bigint }) => Number(row.count)
  const drafts = await reader
    .selectFrom('drafts')
    .select((build) => build.fn.countAll().as('count'))
    .where('state', 'in', ['open', 'corrected'])
    .where('at', '<', before)
    .executeTakeFirstOrThrow()
  const deliveries = await reader
    .selectFrom('inbox')
    .select((build) => build.fn.countAll().as('count'))
    .where('state', '=', 'failed')
    .where('payload', 'is not', null)
    .where('at', '<', before)
    .executeTakeFirstOrThrow()
  return { drafts: count(drafts), deliveries: count(deliveries) }
}

/** Empties drafts and parked deliveries from before that time. Their keys stay, so that a second copy is still recognised. */
export function clearLeftovers(database: Database, before: string, doing: Doing): Promise<DueLeftovers> {
  return database.db.transaction().execute(async (writer) => {
    await database.lockChain(writer)
    const due = await dueLeftovers(writer, before)
    if (due.drafts + due.deliveries === 0) return due
    await writer
      .updateTable('drafts')
      .set({ state: 'cancelled', text: null, plan: null, asking: null })
      .where('state', 'in', ['open', 'corrected'])
      .where('at', '<', before)
      .execute()
    await writer.updateTable('inbox').set({ payload: null }).where('state', '=', 'failed').where('at', '<', before).execute()
    const subject = `${due.drafts} drafts, ${due.deliveries} deliveries from before ${before}`
    await act(writer, { ...doing, act: 'queue-cleared', ref: '', subject })
    return due
  })
}
