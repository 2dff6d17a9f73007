import type { Place } from '../../src/consult/people.js'
import type { Outbound } from '../../src/desk/ports.js'
import type { OutgoingPart } from '../../src/desk/store.js'
import type { Writer } from './database.js'

/** What a row of a card's message carries besides its state. */
export interface PartPayload {
  readonly place: Place
  readonly tell?: OutgoingPart['tell']
}

export const channelOf = (place: Place): string => `${place.workspace} ${place.channel}`

/** Puts a message on its way, or marks a card that stands already as wanted anew: many changes become one update. */
export async function enqueue(writer: Writer, outbound: Outbound, at: string, freshSalt: () => string): Promise<void> {
  if (outbound.kind === 'thread-note') {
    await writer
      .insertInto('outbox')
      .values({
        ...freshRow(outbound.place, at),
        kind: 'note',
        ref: null,
        part: null,
        mark: freshSalt(),
        payload: JSON.stringify(outbound),
      })
      .execute()
    return
  }
  if (outbound.kind === 'answer') {
    await writer
      .insertInto('outbox')
      .values({
        ...freshRow(outbound.place, at),
        kind: 'answer',
        ref: null,
        part: null,
        mark: freshSalt(),
        payload: JSON.stringify(outbound),
      })
      .execute()
    return
  }
  const { numUpdatedRows } = await writer
    .updateTable('outbox')
    .set((build) => ({ desired: build('desired', '+', 1) }))
    .where('ref', '=', outbound.ref)
    .where('kind', '=', 'part')
    .executeTakeFirstOrThrow()
  if (numUpdatedRows > 0n) {
    await writer
      .updateTable('outbox')
      .set({ due: at, attempts: 0 })
      .where('ref', '=', outbound.ref)
      .where('state', '=', 'sent')
      .where('due', 'is', null)
      .execute()
    return
  }
  const payload: PartPayload = { place: outbound.place, ...(outbound.tell ? { tell: outbound.tell } : {}) }
  await insertPart(writer, { ref: outbound.ref, part: 0, payload, at, desired: 1, mark: freshSalt() })
}

export async function insertPart(
  writer: Writer,
  {
    ref,
    part,
    payload,
    at,
    desired,
    mark,
  }: { ref: string; part: number; payload: PartPayload; at: string; desired: number; mark: string },
): Promise<void> {
  await writer
    .insertInto('outbox')
    .values({ ...freshRow(payload.place, at), kind: 'part', ref, part, mark, desired, payload: JSON.stringify(payload) })
    .onConflict((conflict) => conflict.columns(['ref', 'part']).doNothing())
    .execute()
}

/**
 * Sends again what may or may not stand there, or what the platform would not take, because a person looked and asked for it.
 * A message that is known to stand there is left alone.
 */
export async function postAgain(writer: Writer, ref: string, at: string): Promise<void> {
  await writer
    .updateTable('outbox')
    .set({
      state: 'queued',
      due: at,
      message: null,
      posted: 0,
      shows: null,
      attempts: 0,
      looks: 0,
      started_at: null,
      because: null,
    })
    .where('ref', '=', ref)
    .where('kind', '=', 'part')
    .where('state', 'in', ['unknown', 'refused'])
    .execute()
}

const freshRow = (place: Place, at: string) =>
  ({
    platform: place.platform,
    channel: channelOf(place),
    state: 'queued',
    due: at,
    message: null,
    desired: 1,
    posted: 0,
    shows: null,
    attempts: 0,
    looks: 0,
    at,
    started_at: null,
    because: null,
  }) as const
