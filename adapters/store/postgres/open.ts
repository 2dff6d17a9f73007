import { randomBytes } from 'node:crypto'
import { type Dialect, Kysely, PostgresDialect, sql } from 'kysely'
import pg from 'pg'
import { sha256 } from '../../../src/trail/chain.js'
import { type Database, type FoundRow, fault } from '../database.js'
import { type Reading, readingOf } from '../facts.js'
import { sealing } from '../sealing.js'
import { type KeptStore, storeOver } from '../store.js'
import type { Tables } from '../tables.js'
import { MIGRATIONS } from './migrations.js'
import { searchQuery, searchVector } from './search-words.js'
import { asItWas, keepable } from './text-values.js'

const CONNECTIONS = 5
const CONNECT_WITHIN_MS = 10_000
/** A process that hangs inside a transaction must not keep the others from appending for ever. */
const IDLE_IN_TRANSACTION_MS = 30_000
const INT8 = 20
const TEXTS = new Set([25, 1043])

export const PARAMETER = (number: number): string => `$${number}`

/**
 * Opens the trail for writing; makes its tables where there are none. Several processes may have it open at once.
 * @param url `postgres://…`; a schema other than `public` by `?options=-c%20search_path%3DNAME`
 * @param now ISO time, for what was cut short when an earlier process ended
 * @param secret that the seals are made with
 */
export async function openPostgresStore(url: string, now: string, secret?: string): Promise<KeptStore> {
  const database = await openPostgresDatabase(url, secret)
  try {
    return await storeOver(database, now)
  } catch (error) {
    await database.close()
    throw error
  }
}

/** The database under a store, brought up to the present schema. */
export async function openPostgresDatabase(url: string, secret?: string, anew = false): Promise<Database> {
  const { dialect, end } = connected(url)
  // The tables are made before there are seals to keep.
  const plain = new Kysely<Tables>({ dialect })
  try {
    await reach(plain, url)
    await migrate(plain)
    const how = { parameter: PARAMETER, lockRow: 'for update' }
    return databaseOver(new Kysely<Tables>({ dialect: sealing(dialect, how, { secret, anew }) }), end)
  } catch (error) {
    await end()
    throw error
  }
}

/** Opens an existing trail for reading only. */
export async function openPostgresReading(url: string): Promise<Reading> {
  const { dialect, end } = connected(url, 'read-only')
  const db = new Kysely<Tables>({ dialect })
  try {
    await reach(db, url)
    await refuseOtherVersion(db)
    const database = databaseOver(db, end)
    return readingOf(database)
  } catch (error) {
    await end()
    throw error
  }
}

export function connected(url: string, access?: 'read-only'): { readonly dialect: Dialect; readonly end: () => Promise<void> } {
  const pool = new pg.Pool({
    connectionString: url,
    max: CONNECTIONS,
    connectionTimeoutMillis: CONNECT_WITHIN_MS,
    idle_in_transaction_session_timeout: IDLE_IN_TRANSACTION_MS,
    types: { getTypeParser: parserOf },
  })
  // A connection that breaks while nobody uses it is replaced; whoever needs one that cannot be had is told then.
  pool.on('error', () => {})
  const ready = new WeakSet<pg.PoolClient>()
  const dialect = new PostgresDialect({
    pool: {
      async connect() {
        const client = await pool.connect()
        if (!ready.has(client)) {
          // What is accepted is on the disk, whatever the server's own setting.
          await client.query('set synchronous_commit = on')
          if (access === 'read-only') await client.query('set default_transaction_read_only = on')
          ready.add(client)
        }
        return {
          query: ((text: unknown, values?: readonly unknown[]) =>
            typeof text === 'string' ? client.query(prepared(text, values)) : client.query(text as string)) as never,
          release: () => client.release(),
        }
      },
      // More than one instance may use the pool, so that it is ended by whoever opened it.
      end: async () => {},
    },
  })
  return { dialect, end: () => pool.end() }
}

/** Begins a statement whose few forms the database prepares once for each connection: planning takes longer than finding a few rows. */
const PREPARED = '-- prepared'

function prepared(text: string, values: readonly unknown[] = []): pg.QueryConfig {
  const query = { text, values: values.map(keepable) }
  // A name may have 63 bytes.
  return text.startsWith(PREPARED) ? { ...query, name: sha256(text).slice(0, 32) } : query
}

// Counts and places in the trail stay far below 2^53.
const parserOf = ((oid: number, format?: 'text' | 'binary') => {
  if (oid === INT8) return Number
  const parse = pg.types.getTypeParser(oid, format as 'text')
  return TEXTS.has(oid) ? (value: string) => asItWas(parse(value) as string) : parse
}) as typeof pg.types.getTypeParser

/** The address without its password, for messages. */
export function shownUrl(url: string): string {
  try {
    const { host, pathname } = new URL(url)
    return `postgres://${host}${pathname}`
  } catch {
    return 'the address in DATABASE_URL'
  }
}

export async function reach(db: Kysely<Tables>, url: string): Promise<void> {
  let encoding: string | undefined
  try {
    const { rows } = await sql<{ server_encoding: string }>`show server_encoding`.execute(db)
    encoding = rows[0]?.server_encoding
  } catch (error) {
    const why = error instanceof Error && error.message !== '' ? error.message : 'no answer'
    throw fault('STORE.UNREACHABLE', `PostgreSQL at ${shownUrl(url)} cannot be used: ${why}`, error)
  }
  if (encoding !== 'UTF8') {
    throw fault(
      'STORE.ENCODING',
      `The database at ${shownUrl(url)} has the encoding ${encoding}; create it anew with: createdb --encoding=UTF8 --template=template0`,
    )
  }
}

async function stepsApplied(db: Kysely<Tables>): Promise<number | undefined> {
  const { rows: present } = await sql<{ there: boolean }>`select to_regclass('schema_steps') is not null as there`.execute(db)
  if (!present[0]?.there) return undefined
  const { rows } = await sql<{ applied: number }>`select applied from schema_steps`.execute(db)
  return rows[0]?.applied
}

export async function refuseOtherVersion(db: Kysely<Tables>): Promise<void> {
  const version = await stepsApplied(db)
  if (version === undefined) throw fault('STORE.NO-FILE', 'There is no trail in this database')
  if (version === MIGRATIONS.length) return
  throw fault(
    'STORE.OTHER-VERSION',
    `The trail has schema ${version}, this version reads ${MIGRATIONS.length}. Start the server once to bring it up to date, or use the version that wrote it`,
  )
}

/** One lock for all that migrate: the number is any, as long as it stays. */
const MIGRATING = 7_116_151

async function migrate(db: Kysely<Tables>): Promise<void> {
  if ((await stepsApplied(db)) === MIGRATIONS.length) return
  await db.transaction().execute(async (writer) => {
    await sql`select pg_advisory_xact_lock(${MIGRATING})`.execute(writer)
    await sql`create table if not exists schema_steps (applied integer not null)`.execute(writer)
    const { rows } = await sql<{ applied: number }>`select applied from schema_steps`.execute(writer)
    const applied = rows[0]?.applied ?? 0
    if (applied > MIGRATIONS.length) {
      throw fault(
        'STORE.NEWER',
        `The trail was written by a newer version (schema ${applied}, this one knows ${MIGRATIONS.length}). Use that version`,
      )
    }
    for (const step of MIGRATIONS.slice(applied)) await sql.raw(step).execute(writer)
    await sql`delete from schema_steps`.execute(writer)
    await sql`insert into schema_steps values (${MIGRATIONS.length})`.execute(writer)
  })
}

function databaseOver(db: Kysely<Tables>, end: () => Promise<void>): Database {
  return {
    db,

    async search(query, scope, limit, skip) {
      const { platform = null, workspace = null } = scope === 'everything' ? {} : scope
      const { rows } = await sql<FoundRow>`${sql.raw(PREPARED)}
        select ref, opinions, body
        from soundings_find(${searchQuery(query)}, ${platform}, ${workspace}, ${limit}, ${skip})`.execute(db)
      return rows
    },

    async index(writer, consult, words) {
      await sql`
        insert into search (consult, platform, workspace, words)
        select number, platform, workspace, cast(${searchVector(words)} as tsvector) from consults where number = ${consult}
        on conflict (consult) do update set words = excluded.words`.execute(writer)
    },

    // The tables' own numbers are the locks, so that trails in other schemas of the database have theirs.
    async lockChain(writer) {
      await sql`select pg_advisory_xact_lock('events'::regclass::oid::bigint)`.execute(writer)
    },

    sharing: {
      holder: randomBytes(9).toString('base64url'),
      async lockQueues(writer) {
        await sql`select pg_advisory_xact_lock('inbox'::regclass::oid::bigint)`.execute(writer)
      },
    },

    async scrub() {
      for (const table of ['texts', 'plans', 'search', 'facts', 'drafts', 'inbox']) await sql.raw(`vacuum ${table}`).execute(db)
      return 'cleared'
    },

    async close() {
      await db.destroy()
      await end()
    },
  }
}
