import type { PersonSettings, Reminding } from '../../src/desk/store.js'
import type { Database, Reader, Writer } from './database.js'

/** Something happened to a consult: what is to come of reminders is worked out anew. */
export async function lookAgainAt(writer: Writer, ref: string, at: string): Promise<void> {
  await writer
    .insertInto('waking')
    .values({ ref, look_at: at })
    .onConflict((conflict) => conflict.column('ref').doUpdateSet({ look_at: at }))
    .execute()
}

export function remindingOf(database: Database): Reminding {
  const { db } = database
  return {
    async due(now, limit) {
      const rows = await db
        .selectFrom('waking')
        .select('ref')
        .where('look_at', '<=', now)
        .orderBy('look_at')
        .limit(limit)
        .execute()
      return rows.map(({ ref }) => ref)
    },

    async nextDue() {
      const row = await db.selectFrom('waking').select('look_at').orderBy('look_at').limit(1).executeTakeFirst()
      return row?.look_at
    },

    async lookNext(ref, events, at) {
      await db.transaction().execute(async (writer) => {
        await database.lockChain(writer)
        const { version } = await writer
          .selectFrom('events')
          .select((build) => build.fn.max('version').as('version'))
          .where('ref', '=', ref)
          .executeTakeFirstOrThrow()
        // It has moved on meanwhile, and is looked at again for that.
        if ((version ?? 0) !== events) return
        if (at === undefined) await writer.deleteFrom('waking').where('ref', '=', ref).execute()
        else await lookAgainAt(writer, ref, at)
      })
    },
  }
}

export async function settingsOf(reader: Reader, id: string): Promise<PersonSettings | undefined> {
  const row = await reader.selectFrom('person_settings').selectAll().where('id', '=', id).executeTakeFirst()
  if (!row) return undefined
  const { zone, quiet_from: from, quiet_to: to, reminders } = row
  return {
    id,
    reminders: reminders === 1,
    ...(zone === null ? {} : { zone }),
    ...(from === null || to === null ? {} : { quiet: { from, to } }),
  }
}

export async function keepSettings(writer: Writer, { id, zone, quiet, reminders }: PersonSettings): Promise<void> {
  const values = {
    zone: zone ?? null,
    quiet_from: quiet?.from ?? null,
    quiet_to: quiet?.to ?? null,
    reminders: reminders ? (1 as const) : (0 as const),
  }
  await writer
    .insertInto('person_settings')
    .values({ id, ...values })
    .onConflict((conflict) => conflict.column('id').doUpdateSet(values))
    .execute()
}
