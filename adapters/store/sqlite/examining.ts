import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Sqlite from 'better-sqlite3'
import { CompiledQuery, Kysely, SqliteDialect, sql } from 'kysely'
import { type Database, fault } from '../database.js'
import { type ConsultWords, check, type Examining, NAMED, noSearch } from '../examining.js'
import { trailReading } from '../reading.js'
import type { Row } from '../seal-keeping.js'
import type { Tables } from '../tables.js'
import { openSqliteDatabase, refuseOtherVersion } from './open.js'

/** Opens the file of a trail to examine it, beside one made anew to compare with. */
export function openSqliteExamining(path: string): Examining {
  if (!existsSync(path)) throw fault('STORE.NO-FILE', `There is no trail at ${path}`)
  const folder = mkdtempSync(join(tmpdir(), 'soundings-verify-'))
  const scratchPath = join(folder, 'rebuilt.db')
  const scratch = openSqliteDatabase(scratchPath)
  const file = new Sqlite(path, { readonly: true, fileMustExist: true })
  const db = new Kysely<Tables>({ dialect: new SqliteDialect({ database: file }) })
  const close = async () => {
    await db.destroy()
    if (file.open) file.close()
    await scratch.close()
    rmSync(folder, { recursive: true })
  }
  try {
    refuseOtherVersion(file, path)
  } catch (error) {
    void close()
    throw error
  }
  file.prepare('attach ? as rebuilt').run(scratchPath)
  file.exec('begin')

  return {
    reader: db,
    run: async (text, parameters = []) => (await db.executeQuery<Row>(CompiledQuery.raw(text, [...parameters]))).rows,
    how: { parameter: () => '?', lockRow: '' },
    trail: trailReading({ db, search: noSearch }),
    itself: async () => [
      check('file', structureFaults(file)),
      check('guards', await schemaFaults(file, scratch)),
      check('counters', counterFaults(file)),
    ],
    async searchFaults(consults: AsyncIterable<ConsultWords>) {
      await scratch.db.transaction().execute(async (writer) => {
        for await (const { number, words } of consults) await scratch.index(writer, number, words)
      })
      return searchFaults(file)
    },
    close,
  }
}

const column = (file: Sqlite.Database, query: string): readonly string[] => file.prepare(query).pluck().all().map(String)

const structureFaults = (file: Sqlite.Database): readonly string[] => {
  try {
    return column(file, `pragma main.integrity_check(${NAMED})`).filter((line) => line !== 'ok')
  } catch (fault) {
    return [fault instanceof Error ? fault.message : String(fault)]
  }
}

interface Part {
  readonly what: string
  readonly sql: string
}

const PARTS = "select type || ' ' || name as what, sql from main.sqlite_master where name not like 'sqlite_%'"

// Triggers keep everybody from changing the trail through SQL; a guard taken away is worth knowing.
async function schemaFaults(file: Sqlite.Database, { db }: Database): Promise<readonly string[]> {
  // Asked of the new file itself: what this connection has once read of it, it would go on seeing while that file grows.
  const { rows: wanted } = await sql.raw<Part>(PARTS).execute(db)
  const found = new Map((file.prepare(PARTS).all() as Part[]).map((part) => [part.what, part.sql]))
  const ours = new Set(wanted.map(({ what }) => what))
  return [
    ...wanted.filter((part) => found.get(part.what) !== part.sql).map(({ what }) => `${what} is gone or changed`),
    ...[...found.keys()].filter((what) => !ours.has(what)).map((what) => `${what} is not ours`),
  ].slice(0, NAMED)
}

/** Numbers are never given twice: each counter stands at or above the highest. A delivery that came twice leaves a gap. */
function counterFaults(file: Sqlite.Database): readonly string[] {
  const highest = ['inbox', 'outbox'].map((table) => `select '${table}' as name, max(seq) as highest from main.${table}`)
  return [
    ...column(
      file,
      `select name || ': the counter of rows stands below the highest'
       from (${highest.join(' union all ')}) left join main.sqlite_sequence using (name)
       where coalesce(seq, 0) < coalesce(highest, 0)`,
    ),
    ...column(
      file,
      `select name || ': there is a counter that is not ours, or a second one' from main.sqlite_sequence
       group by name having count(*) > 1 or name not in ('inbox', 'outbox', 'outbox_anew')`,
    ),
  ]
}

/** Rows that differ from those derived anew from the events. */
function differences(file: Sqlite.Database, table: string, columns: string, label: string): readonly string[] {
  const rows = (of: string) => `select ${columns} from ${of}.${table}`
  const labels = (one: string, other: string) =>
    column(file, `select distinct ${label} from (${rows(one)} except ${rows(other)}) limit ${NAMED}`)
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
        `select distinct coalesce((select ref from main.consults where number = doc), 'an unknown consult')
         from (${words(one)} except ${words(other)}) limit ${NAMED}`,
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
         where doc <> (select count(*) from main.search where search match '"' || wanted.term || '"') limit ${NAMED}`,
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
