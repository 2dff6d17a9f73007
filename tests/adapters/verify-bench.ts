import { copyFileSync, mkdirSync } from 'node:fs'
import { dirname } from 'node:path'
import Sqlite from 'better-sqlite3'
import { CompiledQuery, type ControlledTransaction, Kysely } from 'kysely'
import { examiningIn } from '../../adapters/store/postgres/examining.js'
import { connected } from '../../adapters/store/postgres/open.js'
import type { Tables } from '../../adapters/store/tables.js'
import { checkingOf, openForChecking } from '../../adapters/trail-tables.js'
import { verifyCommand } from '../../adapters/verify-command.js'
import type { TestPostgres } from '../tools/postgres.js'
import { trailFolder, writeTrail } from './a-trail-file.js'

export type Value = string | number | Uint8Array | null
export type Row = Readonly<Record<string, Value>>
/** Asks a trail something past every guard. Parameters stand as `?`. */
export type Ask = (sql: string, parameters?: readonly Value[]) => Promise<readonly Row[]>
/** Changes a trail by hand. */
export type Change = (ask: Ask) => Promise<unknown>

export interface Verified {
  readonly code: number
  readonly out: string
  readonly err: string
  readonly head: string
  readonly checkpoint: string
}

/** One invented trail in one database, of which each change is made on a copy that is thrown away. */
export interface VerifyBench {
  readonly name: string
  verifyAfter(change: Change, options?: { readonly checkpoint?: string; readonly secret?: string }): Promise<Verified>
  ask: Ask
  /** Whether a column holds numbers that the database gives, and that nobody can alter in a row. */
  givesItself(table: string, column: string): Promise<boolean>
  /** How a byte string stands in SQL. */
  readonly bytes: (hex: string) => string
  /** Between `insert into … (…)` and `values`, where a number that the database gives itself is given by hand. */
  readonly overriding: string
  close(): Promise<void>
}

export async function verified(
  opened: Parameters<typeof verifyCommand>[0],
  options: { readonly checkpoint?: string },
): Promise<Verified> {
  const said = { out: '', err: '' }
  const adding = (to: 'out' | 'err') => (text: string) => {
    said[to] += text
  }
  const code = await verifyCommand(opened, options, { out: adding('out'), err: adding('err') })
  return {
    code,
    ...said,
    head: /^head ([0-9a-f]{64})$/m.exec(said.out)?.[1] ?? '',
    checkpoint: /^checkpoint ([0-9a-f.-]+)$/m.exec(said.out)?.[1] ?? '',
  }
}

export async function sqliteBench(secret?: string): Promise<VerifyBench> {
  const files = trailFolder()
  const whole = files.freshPath()
  await writeTrail(`sqlite:${whole}`, secret)

  function askOf(path: string) {
    const file = new Sqlite(path)
    // Tables that belong to the search index are otherwise kept from plain SQL.
    file.unsafeMode(true)
    const ask: Ask = async (sql, parameters = []) => {
      const statement = file.prepare(sql)
      if (statement.reader) return statement.all(parameters) as Row[]
      if (statement.run(parameters).changes === 0 && !/^\s*(?:drop|create|savepoint|release|rollback)\b/i.test(sql))
        throw new Error(`nothing was changed by: ${sql}`)
      return []
    }
    return { file, ask }
  }
  const reading = askOf(whole)

  return {
    name: 'SQLite',
    ask: reading.ask,
    givesItself: async () => false,
    bytes: (hex) => `x'${hex}'`,
    overriding: '',
    async verifyAfter(change, options = {}) {
      const path = files.freshPath()
      mkdirSync(dirname(path), { recursive: true })
      copyFileSync(whole, path)
      const { file, ask } = askOf(path)
      const guards = file.prepare("select name, sql from sqlite_master where type = 'trigger'").all() as Record<string, string>[]
      // Nothing of a test outlives it, so the disk need not be waited for.
      file.pragma('synchronous = off')
      file.transaction(() => {
        for (const { name } of guards) file.exec(`drop trigger ${name}`)
      })()
      file.exec('begin')
      await change(ask)
      const gone = new Set(file.prepare("select name from sqlite_master where type = 'table'").pluck().all())
      for (const { sql } of guards) if ([...gone].some((table) => sql?.includes(` on ${table}`))) file.exec(sql ?? '')
      file.exec('commit')
      file.close()
      const opened = await openForChecking(`sqlite:${path}`, options.secret ?? secret)
      return verified(opened, options).finally(opened.close)
    },
    async close() {
      reading.file.close()
      files.clear()
    },
  }
}

export async function postgresBench(server: TestPostgres, secret?: string): Promise<VerifyBench> {
  const url = await server.freshSchema()
  await writeTrail(url, secret)
  const { dialect, end } = connected(url)
  const db = new Kysely<Tables>({ dialect })
  const askOf =
    (asked: Kysely<Tables> | ControlledTransaction<Tables>): Ask =>
    async (sql, parameters = []) => {
      const numbered = sql.split('?').reduce((before, after, number) => `${before}$${number}${after}`)
      const { rows, numAffectedRows } = await asked.executeQuery<Row>(CompiledQuery.raw(numbered, [...parameters]))
      if (numAffectedRows === 0n) throw new Error(`nothing was changed by: ${sql}`)
      return rows
    }
  // What the database says of its own tables is the same after a change of rows, and takes longest to ask.
  const asking = await db.startTransaction().execute()
  const itself = await examiningIn(asking, db).itself()
  await asking.rollback().execute()
  return {
    name: 'PostgreSQL',
    ask: askOf(db),
    async givesItself(table, column) {
      const rows = await askOf(db)(
        "select 1 as one from pg_attribute where attrelid = cast(? as text)::regclass and attname = ? and attidentity = 'a'",
        [table, column],
      )
      return rows.length > 0
    },
    bytes: (hex) => `'\\x${hex}'::bytea`,
    overriding: 'overriding system value',
    async verifyAfter(change, options = {}) {
      const changed = await db.startTransaction().execute()
      try {
        await changed.executeQuery(CompiledQuery.raw('set local session_replication_role = replica'))
        await change(askOf(changed))
        const examining = { ...examiningIn(changed, db), itself: async () => itself }
        const opened = await checkingOf(examining, options.secret ?? secret)
        return await verified(opened, options)
      } finally {
        await changed.rollback().execute()
      }
    },
    async close() {
      await db.destroy()
      await end()
    },
  }
}
