import { chmodSync, closeSync, existsSync, mkdirSync, openSync } from 'node:fs'
import { dirname } from 'node:path'
import Sqlite from 'better-sqlite3'
import { CompiledQuery, type Dialect, Kysely, SqliteDialect, sql } from 'kysely'
import { fts5Expression } from '../../../src/trail/find.js'
import { type Database, type FoundRow, fault } from '../database.js'
import { type Reading, readingOf } from '../facts.js'
import type { Sealing } from '../seal-keeping.js'
import { sealing } from '../sealing.js'
import { type KeptStore, storeOver } from '../store.js'
import type { Tables } from '../tables.js'
import { holdLock } from './lock.js'
import { MIGRATIONS } from './migrations.js'
import { preparingOnce } from './statements.js'

const IN_MEMORY = ':memory:'

/**
 * Opens the trail for writing; makes it where there is none. One process at a time: a second one is refused.
 * @param path of the database file, or `:memory:`
 * @param now ISO time, for what was cut short when the last process ended
 * @param secret that the seals are made with
 */
export async function openSqliteStore(path: string, now: string, secret?: string): Promise<KeptStore> {
  const database = openSqliteDatabase(path, secret)
  try {
    return await storeOver(database, now)
  } catch (error) {
    await database.close()
    throw error
  }
}

/** The database under a store: locked for this process and brought up to the present schema. */
export function openSqliteDatabase(path: string, secret?: string, anew = false): Database {
  const release = path === IN_MEMORY ? () => {} : prepareFile(path)
  const file = new Sqlite(path)
  try {
    setUp(file)
    migrate(file)
    return databaseOver(file, release, writing(file, { secret, anew }))
  } catch (error) {
    file.close()
    release()
    throw error
  }
}

/** Opens an existing trail for reading only, beside the process that writes it. */
export function openSqliteReading(path: string): Reading {
  if (!existsSync(path)) throw fault('STORE.NO-FILE', `There is no trail at ${path}`)
  const file = new Sqlite(path, { readonly: true, fileMustExist: true })
  refuseOtherVersion(file, path)
  const database = databaseOver(file, () => {}, new SqliteDialect({ database: file }))
  return readingOf(database)
}

/**
 * Opens an existing trail to write in it beside the server. Only for what each transaction settles in itself:
 * the queues belong to the server alone.
 */
export function openSqliteBeside(path: string, secret?: string): Database {
  if (!existsSync(path)) throw fault('STORE.NO-FILE', `There is no trail at ${path}`)
  const file = new Sqlite(path, { fileMustExist: true })
  refuseOtherVersion(file, path)
  setUp(file)
  return databaseOver(file, () => {}, writing(file, { secret }))
}

function schemaOf(file: Sqlite.Database, path: string): unknown {
  try {
    return file.pragma('user_version', { simple: true })
  } catch (error) {
    file.close()
    if ((error as { readonly code?: unknown }).code !== 'SQLITE_NOTADB') throw error
    throw fault(
      'STORE.NO-DATABASE',
      `${path} is no trail: it is not an SQLite file. Set DATABASE_URL to the file of the trail`,
      error,
    )
  }
}

export function refuseOtherVersion(file: Sqlite.Database, path: string): void {
  const version = schemaOf(file, path)
  if (version === MIGRATIONS.length) return
  file.close()
  throw fault(
    'STORE.OTHER-VERSION',
    `The trail at ${path} has schema ${version}, this version reads ${MIGRATIONS.length}. Start the server once to bring it up to date, or use the version that wrote it`,
  )
}

function setUp(file: Sqlite.Database): void {
  // Takes effect in a file that is made now: a packed plan is half of the default page, and would often have one to itself.
  file.pragma('page_size = 8192')
  // WAL alone opens with synchronous=NORMAL, where a power cut can lose the last commits.
  file.pragma('journal_mode = WAL')
  file.pragma('synchronous = FULL')
  file.pragma('foreign_keys = ON')
  // What is erased is overwritten, so that it cannot be read from free pages.
  file.pragma('secure_delete = ON')
}

function prepareFile(path: string): () => void {
  mkdirSync(dirname(path), { recursive: true, mode: 0o700 })
  const release = holdLock(`${path}.lock`, path)
  // Made here, so that it is never readable by others, not even for a moment; SQLite gives its side files the same mode.
  closeSync(openSync(path, 'a', 0o600))
  chmodSync(path, 0o600)
  return release
}

function migrate(file: Sqlite.Database): void {
  const applied = Number(file.pragma('user_version', { simple: true }))
  if (applied > MIGRATIONS.length) {
    throw fault(
      'STORE.NEWER',
      `The trail was written by a newer version (schema ${applied}, this one knows ${MIGRATIONS.length}). Use that version`,
    )
  }
  const bringUp = () => {
    for (const [index, step] of MIGRATIONS.entries()) {
      if (index < applied) continue
      file.transaction(() => {
        file.exec(step)
        file.pragma(`user_version = ${index + 1}`)
      })()
    }
  }
  // A new file waits for the disk once, not for each step; an old one may be large, and keeps each step that it came to.
  if (applied === 0) file.transaction(bringUp)()
  else bringUp()
}

const writing = (file: Sqlite.Database, under: Sealing): Dialect =>
  sealing(immediate(new SqliteDialect({ database: preparingOnce(file) })), { parameter: () => '?', lockRow: '' }, under)

function databaseOver(file: Sqlite.Database, release: () => void, dialect: Dialect): Database {
  const db = new Kysely<Tables>({ dialect })
  return {
    db,

    async search(query, scope, limit, skip) {
      const within =
        scope === 'everything'
          ? sql``
          : sql`and consults.platform = ${scope.platform} and consults.workspace = ${scope.workspace}`
      const { rows } = await sql<FoundRow>`
        select best.ref as ref, best.opinions as opinions, events.body as body
        from (
          select consults.ref, consults.opinions, consults.number, search.rank as place
          from search join consults on consults.number = search.rowid
          where search match ${fts5Expression(query)} ${within}
          order by search.rank, consults.number desc
          limit ${limit} offset ${skip}
        ) as best join events on events.ref = best.ref and events.version = 1
        order by best.place, best.number desc`.execute(db)
      return rows
    },

    async index(writer, consult, { asked, talk }) {
      await sql`delete from search where rowid = ${consult}`.execute(writer)
      await sql`insert into search (rowid, asked, talk) values (${consult}, ${asked}, ${talk})`.execute(writer)
    },

    // One process, one connection, and every transaction takes the write lock as it begins.
    async lockChain() {},

    async scrub() {
      await sql`insert into search (search) values ('optimize')`.execute(db)
      const { rows } = await sql<{ busy: number }>`pragma wal_checkpoint(truncate)`.execute(db)
      return rows[0]?.busy === 0 ? 'cleared' : 'in-use'
    },

    async close() {
      await db.destroy()
      // Kysely closes only what it has used.
      if (file.open) file.close()
      release()
    },
  }
}

/**
 * A transaction that begins by reading and then writes fails at once when another connection wrote in between,
 * whatever the timeout; so each takes the write lock at its beginning.
 */
function immediate(dialect: SqliteDialect): Dialect {
  return {
    createAdapter: () => dialect.createAdapter(),
    createIntrospector: (db) => dialect.createIntrospector(db),
    createQueryCompiler: () => dialect.createQueryCompiler(),
    createDriver() {
      const driver = dialect.createDriver()
      driver.beginTransaction = async (connection) => {
        await connection.executeQuery(CompiledQuery.raw('begin immediate'))
      }
      return driver
    },
  }
}
