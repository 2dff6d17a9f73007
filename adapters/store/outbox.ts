import type { Outbound } from '../../src/desk/ports.js'
import type { CardStanding, Lane, Outbox, Outgoing, OutgoingPart, Settled } from '../../src/desk/store.js'
import type { Database, Reader, Writer } from './database.js'
import { answerBelongsHere, giveUpInterrupted, kindsOf, messageIsFree, takeMessage } from './holding.js'
import { channelOf, enqueue, insertPart, type PartPayload } from './outbox-rows.js'
import type { OutboxRow } from './tables.js'

export function outboxOf(database: Database, freshSalt: () => string): Outbox {
  const { db, sharing } = database
  return {
    async next(now, { platform, kind, heldChannels }) {
      const lane = { platform, kind }
      const longestDue = (reader: Reader) => {
        let query = due(reader, lane).where('due', '<=', now).orderBy('due').orderBy('seq').limit(1)
        if (heldChannels.length > 0) query = query.where('channel', 'not in', heldChannels)
        if (sharing) query = query.where(messageIsFree(sharing, 'outbox', lane, now)).where(answerBelongsHere(sharing, lane, now))
        return query.executeTakeFirst()
      }
      const row = await (sharing ? takeMessage(database, sharing, now, longestDue) : longestDue(db))
      return row && outgoing(db, row)
    },

    async nextDue(lane) {
      let query = due(db, lane).orderBy('due').limit(1)
      if (sharing) query = query.where(messageIsFree(sharing, 'outbox', lane)).where(answerBelongsHere(sharing, lane))
      const row = await query.executeTakeFirst()
      return row?.due ?? undefined
    },

    async begin(seq, at) {
      let begun = db
        .updateTable('outbox')
        .set((build) => ({ state: 'sending', started_at: at, due: null, attempts: build('attempts', '+', 1) }))
        .where('seq', '=', seq)
        .where('state', 'in', ['queued', 'sent'])
        .where('message', 'is', null)
      if (sharing) begun = begun.where('held_by', '=', sharing.holder)
      const { numUpdatedRows } = await begun.executeTakeFirstOrThrow()
      // This process paused for so long that another one took the message over. Sending it now would post it twice.
      if (numUpdatedRows !== 1n) throw new Error(`The message ${seq} of the outbox is in other hands`)
    },

    async settle(seq, settled, at, tell) {
      await db.transaction().execute(async (writer) => {
        const ref = await settleRow(database, writer, seq, settled, at)
        if (settled.state === 'sent' && typeof ref === 'string') await addParts(writer, ref, settled.parts ?? 1, at, freshSalt)
        if (tell) await enqueue(writer, tell, at, freshSalt)
      })
    },

    addParts: (ref, parts, at) => db.transaction().execute((writer) => addParts(writer, ref, parts, at, freshSalt)),
  }
}

async function addParts(writer: Writer, ref: string, parts: number, at: string, freshSalt: () => string): Promise<void> {
  if (parts < 2) return
  const rows = await writer.selectFrom('outbox').selectAll().where('ref', '=', ref).execute()
  const root = rows.find((row) => row.part === 0)
  if (!root) return
  const payload = JSON.parse(root.payload ?? '{}') as PartPayload
  for (let part = 1; part < parts; part += 1) {
    if (rows.some((row) => row.part === part)) continue
    await insertPart(writer, { ref, part, payload, at, desired: root.desired, mark: freshSalt() })
  }
}

const due = (reader: Reader, { platform, kind }: Lane) =>
  reader
    .selectFrom('outbox')
    .selectAll()
    .where('platform', '=', platform)
    .where('kind', 'in', kindsOf(kind))
    .where('due', 'is not', null)

async function outgoing(reader: Reader, row: OutboxRow): Promise<Outgoing> {
  const { seq, attempts } = row
  if (row.kind === 'answer') {
    const outbound = JSON.parse(row.payload ?? 'null') as Extract<Outbound, { kind: 'answer' }>
    return { kind: 'answer', seq, attempts, queuedAt: row.at, outbound }
  }
  if (row.kind === 'note') {
    const outbound = JSON.parse(row.payload ?? 'null') as Extract<Outbound, { kind: 'thread-note' }>
    const root = await rootMessage(reader, outbound.ref)
    return {
      kind: 'note',
      seq,
      attempts,
      channel: row.channel,
      mark: row.mark,
      outbound,
      step: row.state === 'unknown' ? 'look' : 'post',
      looks: row.looks,
      ...(root === null ? {} : { root }),
      ...(row.started_at === null ? {} : { startedAt: row.started_at }),
    }
  }
  const { place, tell } = JSON.parse(row.payload ?? '{}') as PartPayload
  const ref = row.ref ?? ''
  const part = row.part ?? 0
  const root = part === 0 ? null : await rootMessage(reader, ref)
  return {
    kind: 'part',
    seq,
    ref,
    part,
    place,
    channel: row.channel,
    mark: row.mark,
    attempts,
    step: row.state === 'unknown' ? 'look' : row.message === null ? 'post' : 'update',
    looks: row.looks,
    desired: row.desired,
    ...(row.message === null ? {} : { message: row.message }),
    ...(root === null ? {} : { root }),
    ...(row.started_at === null ? {} : { startedAt: row.started_at }),
    ...(row.shows === null ? {} : { shows: row.shows }),
    ...(tell === undefined ? {} : { tell }),
  } satisfies OutgoingPart
}

async function rootMessage(reader: Reader, ref: string): Promise<string | null> {
  const row = await reader.selectFrom('outbox').select('message').where('ref', '=', ref).where('part', '=', 0).executeTakeFirst()
  return row?.message ?? null
}

/** @returns the consult whose card the message is of, if it is, and was in our hands */
async function settleRow(
  { sharing }: Database,
  writer: Writer,
  seq: number,
  settled: Settled,
  at: string,
): Promise<OutboxRow['ref'] | undefined> {
  const found = writer.selectFrom('outbox').selectAll().where('seq', '=', seq)
  // Locked where others write too: a card that is wanted anew meanwhile must not be taken for settled.
  const row = await (sharing ? found.forUpdate() : found).executeTakeFirstOrThrow()
  if (sharing && row.held_by !== null && row.held_by !== sharing.holder) return undefined
  await writer
    .updateTable('outbox')
    .set({ ...settledRow(row, settled, at), held_by: null, held_until: null })
    .where('seq', '=', seq)
    .execute()
  return row.ref
}

function settledRow(row: OutboxRow, settled: Settled, at: string): Partial<OutboxRow> {
  switch (settled.state) {
    case 'sent': {
      const posted = settled.desired ?? row.posted
      const payload = row.kind === 'part' ? {} : { payload: null }
      return {
        ...payload,
        state: 'sent',
        message: settled.message ?? row.message,
        posted,
        shows: settled.shows ?? row.shows,
        attempts: 0,
        because: null,
        // Changed while it was on its way: one more update follows.
        due: row.kind === 'part' && posted < row.desired ? at : null,
      }
    }
    case 'queued':
      // An update that did not go out leaves the message standing: it stays sent, and the update is tried again.
      return row.state === 'sent'
        ? { due: settled.retryAt, because: settled.because, attempts: row.attempts + 1 }
        : { state: 'queued', due: settled.retryAt, because: settled.because }
    case 'unknown':
      return {
        // What nobody looks for any more is of no use to anybody, and its words must not outlast those of the trail.
        ...(row.kind === 'part' || settled.lookAt !== undefined ? {} : { payload: null }),
        state: 'unknown',
        due: settled.lookAt ?? null,
        because: settled.because,
        looks: row.looks + (row.state === 'unknown' ? 1 : 0),
      }
    case 'refused':
      return { state: 'refused', due: null, because: settled.because, ...(row.kind === 'part' ? {} : { payload: null }) }
    default:
      return unreachable(settled)
  }
}

/** After a crash, what was being sent may or may not have arrived. Where others write too, theirs is left to them. */
export async function recoverInterrupted({ db }: Database, at: string): Promise<void> {
  await giveUpInterrupted(db, at, 'the program stopped while it was being sent')
  // Early versions kept what was in them.
  await db
    .updateTable('outbox')
    .set({ payload: null })
    .where('state', '=', 'unknown')
    .where('kind', '<>', 'part')
    .where('due', 'is', null)
    .where('payload', 'is not', null)
    .execute()
}

export async function cardStandingOf(reader: Reader, ref: string): Promise<CardStanding> {
  const rows = await reader.selectFrom('outbox').select(['part', 'state', 'message']).where('ref', '=', ref).execute()
  if (rows.length === 0) return 'none'
  if (rows.some(({ state, message }) => state === 'unknown' && message === null)) return 'possibly-posted'
  if (rows.some(({ state }) => state === 'refused')) return 'refused'
  return rows.every(({ state }) => state === 'sent') ? 'posted' : 'waiting'
}

/** The consult whose card opened the thread of this place. */
export async function consultInThread(reader: Reader, place: Parameters<typeof channelOf>[0]): Promise<string | undefined> {
  if (place.thread === undefined) return undefined
  const row = await reader
    .selectFrom('outbox')
    .select('ref')
    .where('message', '=', place.thread)
    .where('part', '=', 0)
    .where('platform', '=', place.platform)
    .where('channel', '=', channelOf(place))
    .executeTakeFirst()
  return row?.ref ?? undefined
}

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
