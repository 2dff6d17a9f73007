import { type RawBuilder, sql } from 'kysely'
import type { Inbound } from '../../src/desk/ports.js'
import type { Lane } from '../../src/desk/store.js'
import type { Database, Reader, Sharing, Writer } from './database.js'
import type { OutboxRow } from './tables.js'

/**
 * Where several processes work on one database, each piece of work is in one hand at a time. Whoever takes it has it for
 * this long; after that the process counts as stopped. Longer than a call to a platform may take.
 */
const HELD_MS = 60_000

const heldUntil = (now: string): string => new Date(Date.parse(now) + HELD_MS).toISOString()

/** Nothing of the same channel is in another process's hands: what belongs together is done in order, by one. */
const channelIsFree = (
  table: 'inbox' | 'outbox',
  row: string,
  holder: string,
  still: RawBuilder<unknown>,
  lane: RawBuilder<unknown>,
): RawBuilder<boolean> =>
  sql<boolean>`not exists (
    select 1 from ${sql.table(table)} as other
    where other.channel = ${sql.ref(`${row}.channel`)} and other.held_by <> ${holder} ${still} ${lane})`

const stillHeld = (now: string | undefined) => (now === undefined ? sql`` : sql`and other.held_until > ${now}`)
const WAITING = sql`and other.state = 'waiting'`
const ofLane = ({ platform, kind }: Lane) => sql`and other.platform = ${platform} and other.kind in (${sql.join(kindsOf(kind))})`

export const kindsOf = (kind: Lane['kind']): readonly OutboxRow['kind'][] => (kind === 'answer' ? ['answer'] : ['part', 'note'])

/** Deliveries that this process may take. `now` absent: whatever another holds counts as held. */
export const deliveryIsFree = ({ holder }: Sharing, row: string, now?: string) =>
  channelIsFree('inbox', row, holder, stillHeld(now), WAITING)

export const messageIsFree = ({ holder }: Sharing, row: string, lane: Lane, now?: string) =>
  channelIsFree('outbox', row, holder, stillHeld(now), ofLane(lane))

/** After this, a browser has given up, and whoever takes its answer may settle it. */
const BROWSER_WAITS_MS = 60_000

/** A delivery from the page, with the process at which its browser waits. */
export const fromHere = ({ holder }: Sharing, inbound: Inbound): Inbound =>
  inbound.place.platform === 'web' ? { ...inbound, reply: { ...inbound.reply, waitsAt: holder } } : inbound

/** Answers to the page are of use only where the browser waits for them. `now` absent: only those that came from here. */
export function answerBelongsHere({ holder }: Sharing, { platform, kind }: Lane, now?: string): RawBuilder<boolean> {
  if (platform !== 'web' || kind !== 'answer') return sql<boolean>`true`
  const givenUp = now === undefined ? sql`` : sql`or at <= ${new Date(Date.parse(now) - BROWSER_WAITS_MS).toISOString()}`
  return sql<boolean>`(payload like ${`%"waitsAt":"${holder}"%`} ${givenUp})`
}

/** Takes the oldest delivery that is due and in nobody's hands. */
export function takeDelivery({ db }: Database, sharing: Sharing, now: string) {
  return db.transaction().execute(async (writer) => {
    await sharing.lockQueues(writer)
    const row = await writer
      .selectFrom('inbox as mine')
      .select(['mine.seq', 'mine.payload', 'mine.attempts'])
      .where('mine.state', '=', 'waiting')
      .where('mine.due', '<=', now)
      .where(deliveryIsFree(sharing, 'mine', now))
      .orderBy('mine.seq')
      .limit(1)
      .executeTakeFirst()
    if (!row) return undefined
    const { numUpdatedRows } = await writer
      .updateTable('inbox')
      .set({ held_by: sharing.holder, held_until: heldUntil(now) })
      .where('seq', '=', row.seq)
      .where('state', '=', 'waiting')
      .executeTakeFirstOrThrow()
    return numUpdatedRows === 1n ? row : undefined
  })
}

/** Takes the message that has been due longest in a lane and is in nobody's hands. */
export function takeMessage(
  { db }: Database,
  sharing: Sharing,
  now: string,
  due: (reader: Reader) => Promise<OutboxRow | undefined>,
): Promise<OutboxRow | undefined> {
  return db.transaction().execute(async (writer) => {
    await sharing.lockQueues(writer)
    await giveUpInterrupted(writer, now, 'another process stopped while it was being sent', sharing.holder)
    const row = await due(writer)
    if (!row) return undefined
    await writer
      .updateTable('outbox')
      .set({ held_by: sharing.holder, held_until: heldUntil(now) })
      .where('seq', '=', row.seq)
      .execute()
    return row
  })
}

/**
 * What was being sent by a process that stopped may or may not have arrived. It is looked for where that is possible;
 * it is never sent again on its own.
 * @param except who is alive and knows what it is sending
 */
export async function giveUpInterrupted(writer: Reader | Writer, now: string, because: string, except?: string): Promise<void> {
  let interrupted = writer
    .updateTable('outbox')
    .set((build) => ({
      state: 'unknown',
      because,
      held_by: null,
      held_until: null,
      due: build.case().when('kind', 'in', ['part', 'note']).then(now).else(null).end(),
      payload: build.case().when('kind', '=', 'answer').then(null).else(build.ref('payload')).end(),
    }))
    .where('state', '=', 'sending')
    .where(({ or, eb }) => or([eb('held_until', 'is', null), eb('held_until', '<=', now)]))
  if (except !== undefined) interrupted = interrupted.where('held_by', 'is distinct from', except)
  await interrupted.execute()
}
