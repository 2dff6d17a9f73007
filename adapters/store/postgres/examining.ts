import { randomBytes } from 'node:crypto'
import { CompiledQuery, Kysely, sql, type Transaction } from 'kysely'
import { type ConsultWords, check, type Examining, NAMED, noSearch, type TableCheck } from '../examining.js'
import { trailReading } from '../reading.js'
import type { Row } from '../seal-keeping.js'
import type { Tables } from '../tables.js'
import { MIGRATIONS } from './migrations.js'
import { connected, PARAMETER, reach, refuseOtherVersion } from './open.js'
import { searchVector } from './search-words.js'

/** Opens a trail to examine it, all of it as it stands at one moment. */
export async function openPostgresExamining(url: string): Promise<Examining> {
  const { dialect, end } = connected(url)
  const db = new Kysely<Tables>({ dialect })
  try {
    await reach(db, url)
    await refuseOtherVersion(db)
    const reader = await db.startTransaction().setIsolationLevel('repeatable read').setAccessMode('read only').execute()
    return {
      ...examiningIn(reader, db),
      async close() {
        await reader.rollback().execute()
        await db.destroy()
        await end()
      },
    }
  } catch (error) {
    await end()
    throw error
  }
}

/**
 * What a transaction sees of a trail.
 * @param db for tables to compare with, which a transaction that only reads cannot make
 */
export const examiningIn = (reader: Transaction<Tables>, db: Kysely<Tables>): Omit<Examining, 'close'> => ({
  reader,
  run: async (text, parameters = []) => (await reader.executeQuery<Row>(CompiledQuery.raw(text, [...parameters]))).rows,
  how: { parameter: PARAMETER, lockRow: '' },
  trail: trailReading({ db: reader, search: noSearch }),
  itself: async () => [await guards(db), check('counters', await counterFaults(reader))],
  searchFaults: (consults) => searchFaults(reader, consults),
})

const UNDO = new Error('undo')

/**
 * Tables, columns, limits, indexes, guards and functions as the database describes them, against those of tables made anew
 * in a schema of their own, which is taken back at once.
 */
async function guards(db: Kysely<Tables>): Promise<TableCheck> {
  const described = async (writer: Transaction<Tables>) => {
    const { rows } = await DESCRIPTION.execute(writer)
    return new Map(rows.map(({ what, how }) => [what, how]))
  }
  let faults: readonly string[] = []
  try {
    await db.transaction().execute(async (writer) => {
      const found = await described(writer)
      const schema = `soundings_verify_${randomBytes(6).toString('hex')}`
      await sql.raw(`create schema ${schema}`).execute(writer)
      await sql.raw(`set local search_path to ${schema}`).execute(writer)
      await sql.raw('create table schema_steps (applied integer not null)').execute(writer)
      for (const step of MIGRATIONS) await sql.raw(step).execute(writer)
      const wanted = await described(writer)
      // Others may keep tables and functions of theirs in the same schema.
      const isOfOurs = (what: string) => wanted.has(`table ${what.split(' ')[1]?.split('.')[0]}`)
      faults = [
        ...[...wanted].filter(([what, how]) => found.get(what) !== how).map(([what]) => `${what} is gone or changed`),
        ...[...found.keys()]
          .filter((what) => !wanted.has(what) && isOfOurs(what))
          .map((what) => `${what} is not ours, or changed`),
      ].slice(0, NAMED)
      throw UNDO
    })
  } catch (fault) {
    if (fault !== UNDO) {
      const why = fault instanceof Error ? fault.message : String(fault)
      return check('guards', [], [`they were not compared: this role cannot make tables to compare with (${why})`])
    }
  }
  return check('guards', faults)
}

/** What the schema that is looked in first holds. Names of schemas are left out, since no two are called the same. */
const DESCRIPTION = sql<{ what: string; how: string }>`
  with here as (select current_schema()::regnamespace::oid as schema),
  ours as (select c.* from pg_class c, here where c.relnamespace = here.schema and c.relkind in ('r', 'v', 'm', 'p', 'f'))
  select 'table ' || relname as what, relkind::text || relrowsecurity || relforcerowsecurity || relhasrules as how from ours
  union all
  select 'column ' || relname || '.' || attname,
    concat_ws(' ', format_type(atttypid, atttypmod), attnotnull, attidentity, attstorage, attcollation::regcollation, pg_get_expr(adbin, adrelid))
  from ours join pg_attribute on attrelid = ours.oid and attnum > 0 and not attisdropped
  left join pg_attrdef on adrelid = attrelid and adnum = attnum
  union all
  select 'limit ' || relname || '.' || conname, pg_get_constraintdef(pg_constraint.oid, true)
  from ours join pg_constraint on conrelid = ours.oid
  union all
  select 'index ' || ours.relname || '.' || index.relname, indisvalid::text || pg_get_indexdef(indexrelid, 0, true)
  from ours join pg_index on indrelid = ours.oid join pg_class as index on index.oid = indexrelid
  union all
  select 'guard ' || relname || '.' || tgname, tgenabled::text || pg_get_triggerdef(pg_trigger.oid, true)
  from ours join pg_trigger on tgrelid = ours.oid and not tgisinternal
  union all
  select 'function ' || proname, prosrc || prolang || prosecdef || coalesce(proconfig::text, '')
  from pg_proc, here where pronamespace = here.schema
  union all
  select 'rule ' || relname || '.' || rulename, ev_type::text from ours join pg_rewrite on ev_class = ours.oid`

const NUMBERED = [
  ['inbox', 'seq'],
  ['outbox', 'seq'],
  ['drafts', 'number'],
  ['consults', 'number'],
  ['plan_pieces', 'number'],
  ['plan_orders', 'number'],
] as const

/** Numbers are never given twice: each counter stands at or above the highest. A number that was never used is no fault here. */
async function counterFaults(reader: Transaction<Tables>): Promise<readonly string[]> {
  const faults: string[] = []
  for (const [table, key] of NUMBERED) {
    const { rows } = await sql<{ low: boolean | null }>`
      select (select max(${sql.ref(key)}) from ${sql.table(table)})
        > coalesce(pg_sequence_last_value(pg_get_serial_sequence(${table}, ${key})::regclass), 0) as low`.execute(reader)
    if (rows[0]?.low) faults.push(`${table}: the counter of rows stands below the highest`)
  }
  const steps = await sql`select applied from schema_steps`.execute(reader)
  if (steps.rows.length !== 1) faults.push('schema_steps: there is more than one row')
  return faults
}

async function searchFaults(reader: Transaction<Tables>, consults: AsyncIterable<ConsultWords>): Promise<readonly string[]> {
  const faults: string[] = []
  let wanted = 0
  for await (const { number, ref, platform, workspace, words } of consults) {
    wanted += 1
    if (faults.length === NAMED) continue
    const { rows } = await sql<{ platform: string; workspace: string; same: boolean }>`
      select platform, workspace, words = cast(${searchVector(words)} as tsvector) as same
      from ${sql.raw('search')} where consult = ${number}`.execute(reader)
    const [row] = rows
    if (!row) faults.push(`${ref} is not found by any words`)
    else if (!row.same) faults.push(`${ref} is not found by its words, or by others`)
    else if (row.platform !== platform || row.workspace !== workspace)
      faults.push(`${ref} is found from another workspace than its own`)
  }
  const { rows } = await sql<{ rows: number }>`select count(*) as rows from ${sql.raw('search')}`.execute(reader)
  if (faults.length < NAMED && Number(rows[0]?.rows) > wanted) faults.push('an unknown consult is found by words')
  return faults
}
