import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Sqlite from 'better-sqlite3'
import { Kysely, SqliteDialect } from 'kysely'
import { commitmentsOf } from '../src/trail/chain.js'
import { logFaults } from '../src/trail/record-acts.js'
import type { TrailReading } from '../src/trail/trail-store.js'
import { factFaults } from './facts-check.js'
import {
  audienceFaults,
  conversationFaults,
  draftFaults,
  inboxFaults,
  outboxFaults,
  outboxRemarks,
  peopleRemarks,
  settingsFaults,
  wakingFaults,
} from './queue-checks.js'
import { appendRestored, deriveAll } from './restore-trail.js'
import { trailReading } from './store/reading.js'
import { openSqliteDatabase } from './store/sqlite/open.js'
import type { Tables } from './store/tables.js'

/** What was looked at beside the chain itself. Remarks are no faults: a person should know of them. */
export interface TableCheck {
  readonly name: string
  readonly faults: readonly string[]
  readonly remarks: readonly string[]
}

export interface OpenForChecking {
  /** One moment of the trail: what a server writes meanwhile is not seen. */
  readonly trail: TrailReading
  /** Compares every table beside the chain with what the events say. Only for a trail whose chain is whole. */
  readonly checkTables: () => Promise<readonly TableCheck[]>
  readonly close: () => Promise<void>
}

/** Opens the file of a trail to examine it; nothing in it is changed. */
export function openForChecking(path: string): OpenForChecking {
  const folder = mkdtempSync(join(tmpdir(), 'soundings-verify-'))
  const scratchPath = join(folder, 'rebuilt.db')
  const scratch = openSqliteDatabase(scratchPath)
  const file = new Sqlite(path, { readonly: true, fileMustExist: true })
  file.prepare('attach ? as rebuilt').run(scratchPath)
  file.exec('begin')
  const db = new Kysely<Tables>({ dialect: new SqliteDialect({ database: file }) })
  const trail = trailReading({ db, search: noSearch })

  return {
    trail,
    async checkTables() {
      await scratch.db.transaction().execute(async (writer) => {
        for await (const link of trail.links()) {
          const texts = await Promise.all(
            commitmentsOf(link).map(async (commitment) => {
              const kept = await trail.keptText(commitment)
              return typeof kept === 'object' ? { commitment, ...kept } : { commitment, erased: true as const }
            }),
          )
          await appendRestored(writer, { link, texts })
        }
        await deriveAll(scratch, writer)
      })
      const check = (name: string, faults: readonly string[], remarks: readonly string[] = []): TableCheck => ({
        name,
        faults,
        remarks,
      })
      return [
        check('file', structureFaults(file)),
        check('guards', schemaFaults(file)),
        check('texts', unnamed(file, 'texts', 'commitment', 'select commitment from rebuilt.texts')),
        check('plans', unnamed(file, 'plans', 'hash', PLANS_NAMED)),
        check('erasures', erasureFaults(file)),
        check('acts on the records', logOf(file, 'record_acts')),
        check('accesses', logOf(file, 'accesses')),
        check('list of consults', differences(file, 'consults', '*', 'ref')),
        check('facts of consults', await factFaults(db)),
        check('search index', searchFaults(file)),
        check('drafts', await draftFaults(file, db)),
        check('inbox', inboxFaults(file)),
        check('outbox', outboxFaults(file), outboxRemarks(file)),
        check('reminders', wakingFaults(file)),
        check('settings of people', settingsFaults(file)),
        check('people', [], peopleRemarks(file)),
        check('conversations', conversationFaults(file)),
        check('rooms', audienceFaults(file)),
      ]
    },
    async close() {
      await db.destroy()
      if (file.open) file.close()
      await scratch.close()
      rmSync(folder, { recursive: true })
    },
  }
}

const noSearch = () => Promise.reject(new Error('the search is not asked here'))

const PLANS_NAMED = "select json_extract(body, '$.planHash') from main.events where json_extract(body, '$.planHash') is not null"

const column = (file: Sqlite.Database, query: string): readonly string[] => file.prepare(query).pluck().all().map(String)

const structureFaults = (file: Sqlite.Database): readonly string[] => {
  try {
    return column(file, 'pragma main.integrity_check(5)').filter((line) => line !== 'ok')
  } catch (fault) {
    return [fault instanceof Error ? fault.message : String(fault)]
  }
}

// Triggers keep everybody from changing the trail through SQL; a guard taken away is worth knowing.
function schemaFaults(file: Sqlite.Database): readonly string[] {
  const parts = (of: string) => `select type, name, sql from ${of}.sqlite_master where name not like 'sqlite_%'`
  const names = (one: string, other: string) =>
    column(file, `select type || ' ' || name from (${parts(one)} except ${parts(other)}) limit 5`)
  return [
    ...names('rebuilt', 'main').map((what) => `${what} is gone or changed`),
    ...names('main', 'rebuilt').map((what) => `${what} is not ours, or changed`),
  ]
}

/** Rows that no event names: put in by hand, or left behind by an event that was taken out. */
const unnamed = (file: Sqlite.Database, table: string, key: string, named: string): readonly string[] =>
  column(file, `select ${key} from main.${table} where ${key} not in (${named}) limit 5`).map(
    (value) => `${value.slice(0, 12)}… is named by no event`,
  )

type LogRows = Parameters<typeof logFaults>[0]
const logOf = (file: Sqlite.Database, table: string): readonly string[] =>
  logFaults(file.prepare(`select * from main.${table} order by number`).iterate() as LogRows).slice(0, 5)

/** What is erased must be named by an act on the records, and what an act calls erased must be gone. */
function erasureFaults(file: Sqlite.Database): readonly string[] {
  const erased = [
    { table: 'texts', key: 'commitment', gone: 'text is null', act: 'text-erased' },
    { table: 'plans', key: 'hash', gone: "body = x''", act: 'plan-erased' },
  ]
  return erased.flatMap(({ table, key, gone, act }) => {
    const acts = `select subject from main.record_acts where act = '${act}'`
    return [
      ...column(file, `select ${key} from main.${table} where ${gone} and ${key} not in (${acts}) limit 5`).map(
        (id) => `${table}: ${id.slice(0, 12)}… is empty, and nobody is recorded to have erased it`,
      ),
      ...column(file, `select ${key} from main.${table} where not (${gone}) and ${key} in (${acts}) limit 5`).map(
        (id) => `${table}: ${id.slice(0, 12)}… is recorded as erased, and stands there`,
      ),
    ]
  })
}

/** Rows that differ from those derived anew from the events. */
function differences(file: Sqlite.Database, table: string, columns: string, label: string): readonly string[] {
  const rows = (of: string) => `select ${columns} from ${of}.${table}`
  const labels = (one: string, other: string) =>
    column(file, `select distinct ${label} from (${rows(one)} except ${rows(other)}) limit 5`)
  return [
    ...labels('main', 'rebuilt').map((what) => `${what} is not as the events say`),
    ...labels('rebuilt', 'main').map((what) => `${what} is missing as the events say it`),
  ]
}

/**
 * The index keeps no texts, so it is compared word by word, place by place, with one made anew from the events; then
 * each word is looked for as a search does. Its count of all rows only steers the order of what is found, and grows with
 * each change of a consult, so it is held to be no lower than it can be.
 */
function searchFaults(file: Sqlite.Database): readonly string[] {
  try {
    file.exec(`
      create virtual table if not exists temp.kept_words using fts5vocab(main, 'search', 'instance');
      create virtual table if not exists temp.rebuilt_words using fts5vocab(rebuilt, 'search', 'instance');
      create virtual table if not exists temp.rebuilt_terms using fts5vocab(rebuilt, 'search', 'row');`)
    const words = (table: string) => `select term, doc, col, offset from temp.${table}`
    const consults = (one: string, other: string) =>
      column(
        file,
        `select distinct coalesce((select ref from rebuilt.consults where number = doc), 'an unknown consult')
         from (${words(one)} except ${words(other)}) limit 5`,
      )
    return [
      ...consults('kept_words', 'rebuilt_words').map((ref) => `${ref} is found by words that are not its own`),
      ...consults('rebuilt_words', 'kept_words').map((ref) => `${ref} is not found by some of its words`),
      ...column(
        file,
        `select 'some words stand in it twice'
         where (select count(*) from temp.kept_words) > (select count(*) from temp.rebuilt_words)`,
      ),
      ...column(
        file,
        `select term from temp.rebuilt_terms as wanted
         where doc <> (select count(*) from main.search where search match '"' || wanted.term || '"') limit 5`,
      ).map((term) => `the word "${term}" does not find its consults`),
      ...differences(file, 'search_docsize', 'id, sz', "'the length of text ' || id"),
      ...differences(file, 'search_config', 'k, v', 'k'),
      ...(rowsCounted(file) < Number(column(file, 'select count(*) from main.search_docsize')[0])
        ? ['its count of rows is too low']
        : []),
    ]
  } catch (fault) {
    return [`it cannot be read: ${fault instanceof Error ? fault.message : String(fault)}`]
  }
}

/** The first number of the index's totals: seven bits a byte, the highest bit set on all but the last (SQLite file format, varint). */
function rowsCounted(file: Sqlite.Database): number {
  const totals = file.prepare('select block from main.search_data where id = 1').pluck().get()
  let rows = 0
  for (const byte of Buffer.isBuffer(totals) ? totals : []) {
    rows = rows * 128 + (byte & 0x7f)
    if (byte < 0x80) break
  }
  return rows
}
