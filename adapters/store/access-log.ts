import type { Access, AccessLog } from '../../src/desk/access-log.js'
import { sealRow } from '../../src/trail/record-acts.js'
import type { Database, Reader, Writer } from './database.js'
import type { AccessTable } from './tables.js'

const LONGEST_WORDS = 200

/** Adds one access to the log, behind the last one. The transaction has locked the chain. */
export async function noteAccess(writer: Writer, { by, what, ref, words, at }: Access): Promise<void> {
  const last = await writer
    .selectFrom('accesses')
    .select(['number', 'hash'])
    .orderBy('number', 'desc')
    .limit(1)
    .executeTakeFirst()
  const content = {
    at,
    by_id: by.id,
    by_name: by.name,
    what,
    ref: ref ?? null,
    words: words?.slice(0, LONGEST_WORDS) ?? null,
  }
  await writer.insertInto('accesses').values(sealRow(content, last)).execute()
}

const ROWS_AT_ONCE = 500

/** The whole log as it lies on disk, oldest first. */
export async function* accessRows(reader: Reader): AsyncGenerator<AccessTable> {
  for (let after = 0; ; ) {
    const rows = await reader
      .selectFrom('accesses')
      .selectAll()
      .where('number', '>', after)
      .orderBy('number')
      .limit(ROWS_AT_ONCE)
      .execute()
    yield* rows
    const last = rows.at(-1)
    if (!last) return
    after = last.number
  }
}

export function accessLogOf(database: Database): AccessLog {
  const { db } = database
  return {
    async note(access) {
      await db.transaction().execute(async (writer) => {
        await database.lockChain(writer)
        await noteAccess(writer, access)
      })
    },

    async newest(limit, ref) {
      let query = db.selectFrom('accesses').selectAll().orderBy('number', 'desc').limit(limit)
      if (ref !== undefined) query = query.where('ref', '=', ref)
      const rows = await query.execute()
      return rows.map(({ at, by_id: id, by_name: name, what, ref: shown, words }) => ({
        by: { id, name },
        what,
        at,
        ...(shown === null ? {} : { ref: shown }),
        ...(words === null ? {} : { words }),
      }))
    },
  }
}
