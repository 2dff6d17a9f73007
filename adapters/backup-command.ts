import {
  chmodSync,
  closeSync,
  constants,
  copyFileSync,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  renameSync,
  rmSync,
} from 'node:fs'
import { dirname } from 'node:path'
import Sqlite from 'better-sqlite3'
import { examineTrail } from '../src/trail/examine.js'
import type { ExitCode, Terminal } from './plan-command.js'
import { derive } from './store/appending.js'
import type { Database } from './store/database.js'
import { missingFacts } from './store/facts.js'
import { databaseKind } from './store/open.js'
import { openPostgresDatabase, shownUrl } from './store/postgres/open.js'
import { holdLock } from './store/sqlite/lock.js'
import { openSqliteDatabase } from './store/sqlite/open.js'
import { checkpointOf, openForChecking } from './trail-tables.js'

type Saying = Pick<Terminal, 'out' | 'err'>

const inWords = (fault: unknown): string => (fault instanceof Error ? fault.message : String(fault))

/**
 * `soundings backup FILE`: a copy of the trail as it stands at one moment, taken while the server runs, examined before it
 * gets its name. What was erased is not in it.
 */
export async function backupCommand(databaseUrl: string, file: string, terminal: Saying, secret?: string): Promise<ExitCode> {
  const named = databaseKind(databaseUrl)
  if (named.kind === 'postgres') {
    const quoted = `'${file.replaceAll("'", String.raw`'\''`)}'`
    terminal.err(
      `Nothing was copied: PostgreSQL takes its own backups while it is in use. Note the checkpoint of "soundings verify", then:\n` +
        `  pg_dump --format=custom --file=${quoted} "$DATABASE_URL"\n` +
        `To restore: stop every server, set DATABASE_URL to a new database NAME, and then:\n` +
        `  createdb --encoding=UTF8 --template=template0 NAME\n` +
        `  pg_restore --no-owner --exit-on-error --dbname="$DATABASE_URL" ${quoted}\n` +
        `  soundings restore\n` +
        `  soundings verify --checkpoint …\n`,
    )
    return 2
  }
  if (existsSync(file)) {
    terminal.err(`${file} is there already. Name a file that is not.\n`)
    return 2
  }
  const partial = `${file}.partial`
  try {
    rmSync(partial, { force: true })
    copyOfMoment(named.path, partial)
    const seen = await examined(partial, secret)
    if (seen.fault) {
      terminal.err(`The trail itself is not whole, and its copy was kept as ${partial}: ${seen.fault.words}\n`)
      return 2
    }
    settleOnDisk(partial, file)
    terminal.out(`${file}: ${seen.events} events, ${seen.consults} consults\nhead ${seen.head}\ncheckpoint ${seen.checkpoint}\n`)
    return 0
  } catch (fault) {
    rmSync(partial, { force: true })
    terminal.err(`No backup was made: ${inWords(fault)}\n`)
    return 2
  }
}

/** One read transaction sees one moment; a server that writes meanwhile is not held up. */
function copyOfMoment(path: string, to: string): void {
  if (!existsSync(path)) throw new Error(`There is no trail at ${path}`)
  // Made here, so that it is never readable by others.
  closeSync(openSync(to, 'wx', 0o600))
  const source = new Sqlite(path, { readonly: true, fileMustExist: true })
  try {
    source.prepare('vacuum into ?').run(to)
  } finally {
    source.close()
  }
}

async function examined(path: string, secret: string | undefined) {
  const file = new Sqlite(path, { readonly: true })
  const structure = file.pragma('integrity_check(1)', { simple: true })
  file.close()
  if (structure !== 'ok') throw new Error(`the copy is damaged: ${String(structure)}`)
  const opened = await openForChecking(`sqlite:${path}`, secret)
  try {
    const seen = await examineTrail(opened.trail)
    return { ...seen, checkpoint: await checkpointOf(opened, { rows: seen.events, head: seen.head }) }
  } finally {
    await opened.close()
  }
}

/** The name appears only once everything behind it is on the disk. */
function settleOnDisk(partial: string, file: string): void {
  const flush = (path: string) => {
    const handle = openSync(path, 'r')
    fsyncSync(handle)
    closeSync(handle)
  }
  flush(partial)
  renameSync(partial, file)
  flush(dirname(file))
}

/**
 * `soundings restore FILE`: puts a backup in the trail's place; the trail that stood there is kept under another name.
 * With PostgreSQL and no file: settles what `pg_restore` has put back.
 *
 * What waited to be sent when the backup was made may have been sent since. It is looked for, never sent again on its own.
 */
export async function restoreCommand(
  databaseUrl: string,
  file: string | undefined,
  now: string,
  terminal: Saying,
  secret?: string,
): Promise<ExitCode> {
  const named = databaseKind(databaseUrl)
  try {
    if (named.kind === 'postgres') {
      if (file !== undefined) throw new Error('PostgreSQL is restored by pg_restore; then run "soundings restore" without a file')
      const database = await openPostgresDatabase(named.url, secret)
      const looked = await settleRestored(database, now).finally(() => database.close())
      terminal.out(`${shownUrl(named.url)}: ${looked} messages are looked for before they are sent\n`)
      return 0
    }
    if (file === undefined) throw new Error('name the file of the backup')
    const release = existsSync(dirname(named.path)) ? holdLock(`${named.path}.lock`, named.path) : () => {}
    try {
      const fresh = `${named.path}.restoring`
      const looked = await prepared(file, fresh, now, secret)
      const seen = await examined(fresh, secret)
      if (seen.fault) throw new Error(`the backup is not whole: ${seen.fault.words}`)
      const aside = putInPlace(fresh, named.path, now)
      terminal.out(
        `${named.path}: ${seen.events} events, ${seen.consults} consults\nhead ${seen.head}\n` +
          `${looked} messages are looked for before they are sent\n` +
          (aside === undefined ? '' : `What stood there before is kept as ${aside}\n`),
      )
      return 0
    } finally {
      release()
    }
  } catch (fault) {
    terminal.err(`Nothing was restored: ${inWords(fault)}\n`)
    return 2
  }
}

/** A copy of the backup, brought up to the present schema, in which nothing is sent on its own. */
async function prepared(file: string, fresh: string, now: string, secret: string | undefined): Promise<number> {
  for (const end of ['', ...SIDE_FILES]) rmSync(`${fresh}${end}`, { force: true })
  mkdirSync(dirname(fresh), { recursive: true, mode: 0o700 })
  copyFileSync(file, fresh, constants.COPYFILE_EXCL)
  chmodSync(fresh, 0o600)
  const database = openSqliteDatabase(fresh, secret)
  try {
    return await settleRestored(database, now)
  } finally {
    await database.close()
    rmSync(`${fresh}.lock`, { force: true })
  }
}

const SIDE_FILES = ['-wal', '-shm']

/** @returns the name under which an earlier trail is kept */
function putInPlace(fresh: string, path: string, now: string): string | undefined {
  const aside = `${path}.before-${now.replaceAll(':', '-')}`
  const stood = existsSync(path)
  // Its log belongs to it: beside the restored file it would be taken for that one's.
  for (const end of ['', ...SIDE_FILES]) if (existsSync(`${path}${end}`)) renameSync(`${path}${end}`, `${aside}${end}`)
  settleOnDisk(fresh, path)
  return stood ? aside : undefined
}

const CONSULTS_AT_ONCE = 200

async function settleRestored(database: Database, now: string): Promise<number> {
  const { db } = database
  // A backup of an earlier version may lack what its consults are searched by; nobody waits for the server yet.
  const missing = missingFacts(database, (writer, ref) => derive(database, writer, ref))
  while ((await missing.make(CONSULTS_AT_ONCE)) === CONSULTS_AT_ONCE) {}
  const { numUpdatedRows } = await db
    .updateTable('outbox')
    .set((build) => ({
      state: 'unknown',
      because: 'a backup was restored, and it may have been sent since that was made',
      due: build.case().when('kind', 'in', ['part', 'note']).then(now).else(null).end(),
      started_at: build.fn.coalesce('started_at', 'at'),
      held_by: null,
      held_until: null,
    }))
    .where('state', 'in', ['queued', 'sending'])
    .executeTakeFirstOrThrow()
  return Number(numUpdatedRows)
}
