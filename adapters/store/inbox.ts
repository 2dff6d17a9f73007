import type { Inbound } from '../../src/desk/ports.js'
import type { Effects, Inbox } from '../../src/desk/store.js'
import { noteAccess } from './access-log.js'
import { appendEvents } from './appending.js'
import type { Database, Writer } from './database.js'
import { applyDraftChange } from './drafts.js'
import { deliveryIsFree, fromHere, takeDelivery } from './holding.js'
import { channelOf, enqueue, postAgain } from './outbox-rows.js'
import { keepHeardOf, type Remembered, remember } from './people.js'
import { packPlan } from './plan-packing.js'
import { keepSettings } from './reminding.js'
import { hashBytes } from './text-packing.js'

/** Thrown inside a transaction to undo it; never leaves this file. */
const CONFLICT = new Error('conflict')

export function inboxOf(database: Database, freshSalt: () => string): Inbox {
  const { db, sharing } = database
  const known: Remembered = new Map()
  return {
    async put({ key, inbound }, at) {
      const { numInsertedOrUpdatedRows } = await db
        .insertInto('inbox')
        .values({
          key,
          at,
          channel: `${inbound.place.platform} ${channelOf(inbound.place)}`,
          payload: JSON.stringify(sharing ? fromHere(sharing, inbound) : inbound),
          state: 'waiting',
          attempts: 0,
          due: at,
          error_ref: null,
        })
        .onConflict((conflict) => conflict.column('key').doNothing())
        .executeTakeFirstOrThrow()
      return numInsertedOrUpdatedRows === 1n ? 'new' : 'duplicate'
    },

    async next(now) {
      const oldest = () =>
        db
          .selectFrom('inbox')
          .select(['seq', 'payload', 'attempts'])
          .where('state', '=', 'waiting')
          .where('due', '<=', now)
          .orderBy('seq')
          .limit(1)
          .executeTakeFirst()
      const row = await (sharing ? takeDelivery(database, sharing, now) : oldest())
      if (!row) return undefined
      return { seq: row.seq, attempts: row.attempts, inbound: JSON.parse(row.payload ?? 'null') as Inbound }
    },

    async nextDue() {
      let waiting = db
        .selectFrom('inbox as mine')
        .select((build) => build.fn.min('mine.due').as('due'))
        .where('mine.state', '=', 'waiting')
      if (sharing) waiting = waiting.where(deliveryIsFree(sharing, 'mine'))
      const { due } = await waiting.executeTakeFirstOrThrow()
      return due ?? undefined
    },

    async commit(seq, effects, at) {
      try {
        await db.transaction().execute(async (writer) => {
          // First of all, so that whatever this transaction shares with another one's is taken in one order.
          await database.lockChain(writer)
          if (!(await finish(writer, seq))) throw CONFLICT
          await bringAbout(database, writer, effects, at, freshSalt)
          await keepHeardOf(writer, effects.heardOf, known)
        })
        remember(known, effects.heardOf)
        return 'committed'
      } catch (error) {
        if (error === CONFLICT) return 'conflict'
        throw error
      }
    },

    async fail(seq, { errorRef, retryAt, tell, at }) {
      await db.transaction().execute(async (writer) => {
        const { numUpdatedRows } = await writer
          .updateTable('inbox')
          .set((build) => ({
            held_by: null,
            held_until: null,
            state: retryAt === undefined ? 'failed' : 'waiting',
            attempts: build('attempts', '+', 1),
            due: retryAt ?? null,
            error_ref: errorRef,
          }))
          .where('seq', '=', seq)
          .where('state', '=', 'waiting')
          .executeTakeFirstOrThrow()
        // Another process has handled it meanwhile: there is nothing to tell.
        if (tell && numUpdatedRows === 1n) await enqueue(writer, tell, at, freshSalt)
      })
    },
  }
}

async function finish(writer: Writer, seq: number): Promise<boolean> {
  const { numUpdatedRows } = await writer
    .updateTable('inbox')
    .set({ state: 'done', payload: null, due: null, held_by: null, held_until: null })
    .where('seq', '=', seq)
    .where('state', '=', 'waiting')
    .executeTakeFirstOrThrow()
  return numUpdatedRows === 1n
}

async function bringAbout(
  database: Database,
  writer: Writer,
  effects: Effects,
  at: string,
  freshSalt: () => string,
): Promise<void> {
  for (const { hash, plan } of effects.plans) {
    const packed = await packPlan(writer, plan)
    if (packed.hash !== hash) throw new Error('A plan does not have the hash it was to be kept under')
    await writer
      .insertInto('plans')
      .values({ hash: hashBytes(hash), body: packed.body })
      // One that was erased, and is put again, is there again.
      .onConflict((conflict) =>
        conflict.column('hash').doUpdateSet({ body: packed.body }).where('plans.body', '=', new Uint8Array()),
      )
      .execute()
  }
  for (const change of effects.drafts) {
    if (!(await applyDraftChange(writer, change))) throw CONFLICT
  }
  if (!(await appendEvents(database, writer, effects.events, effects.expected, freshSalt))) throw CONFLICT
  for (const person of effects.people) {
    const described = { name: person.name, grade: person.grade ?? null, field: person.field ?? null }
    await writer
      .insertInto('people')
      .values({ id: person.id, ...described })
      .onConflict((conflict) => conflict.column('id').doUpdateSet(described))
      .execute()
  }
  for (const settings of effects.settings) await keepSettings(writer, settings)
  for (const ref of effects.postAgain) await postAgain(writer, ref, at)
  for (const access of effects.accesses) await noteAccess(writer, access)
  for (const outbound of effects.outbound) await enqueue(writer, outbound, at, freshSalt)
}
