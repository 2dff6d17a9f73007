import { once } from 'node:events'
import { mkdtempSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { setFlagsFromString } from 'node:v8'
import { runInNewContext } from 'node:vm'
import Sqlite from 'better-sqlite3'
import { sql } from 'kysely'
import type { Database } from '../adapters/store/database.js'
import { packPlan } from '../adapters/store/plan-packing.js'
import { openPostgresDatabase } from '../adapters/store/postgres/open.js'
import { searchQuery } from '../adapters/store/postgres/search-words.js'
import { openSqliteDatabase } from '../adapters/store/sqlite/open.js'
import { type KeptStore, storeOver } from '../adapters/store/store.js'
import { LOOKED_THROUGH } from '../src/desk/similar-here.js'
import type { Plan } from '../src/plan/plan.js'
import { exportLines } from '../src/trail/export-lines.js'
import { fts5Expression, type Query, queryOf } from '../src/trail/find.js'
import { nearestCases } from '../src/trail/similar-cases.js'
import { startPostgres, type TestPostgres } from '../tests/tools/postgres.js'
import { FIRST_QUESTION, fillPostgres, fillSqlite, inventedRows } from './fill-trail.js'
import { appendTime, at, inventedPlans, ms, NOW, PLACE, pick, QUESTIONS, refOf } from './trail.js'

/**
 * How a trail holds up as it grows. Its own command, since filling takes minutes:
 * `node dist/bench/trail-large.js [sqlite|postgres|both] [CONSULTS…] [wait]`; without arguments both databases, 10,000 and
 * 100,000. With `wait` each filled trail is measured only once a line comes in, so that a busy machine can fill it.
 */
const PLANS = 300
const APPENDS = 100
const SEARCHES = 1_000
const SMALL = 10_000
/** Question numbers of what is appended while it is measured. */
const LATER = 5_000_000
const SIMILAR = 20
const WAIT = 'wait'
const EXPORTED = [1_000, 10_000]
setFlagsFromString('--expose-gc')
const collectGarbage = runInNewContext('gc') as () => void

const SCOPE = { platform: PLACE.platform, workspace: PLACE.workspace }

/** Words that few consults hold: a reference, or a sentence with a number that stands in one of them. */
const selective = (number: number): readonly string[] => [
  `${pick(QUESTIONS, FIRST_QUESTION + number)} ${FIRST_QUESTION + number}`,
  refOf(FIRST_QUESTION + number),
  `staphyloma ${FIRST_QUESTION + number}`,
]
/** Words that a good part of all consults hold. */
const COMMON = ['staphyloma sub-Tenon', 'brown manual', 'trypan convert', 'short eye retrobulbar', 'pseudoexfoliation ring']

interface Opened {
  readonly database: Database
  readonly store: KeptStore
  /** The bare full-text query of the same database, without anything of ours around it. */
  bare(query: Query): Promise<unknown>
  bytes(): Promise<number>
  close(): Promise<void>
}

type Make = (name: string, consults: number, plans: readonly Plan[]) => Promise<Opened>

const packAll = (database: Database, plans: readonly Plan[]): Promise<readonly Uint8Array[]> =>
  database.db.transaction().execute(async (writer) => {
    const packed: Uint8Array[] = []
    for (const plan of plans) packed.push((await packPlan(writer, plan)).body)
    return packed
  })

const sqliteIn =
  (folder: string): Make =>
  async (name, consults, plans) => {
    const path = join(folder, `${name}.db`)
    const database = openSqliteDatabase(path)
    fillSqlite(path, inventedRows(consults, plans, await packAll(database, plans)))
    const store = await storeOver(database, NOW)
    const beside = new Sqlite(path)
    const statement = beside.prepare('select rowid from search where search match ? order by rank limit 10')
    return {
      database,
      store,
      bare: async (query) => statement.all(fts5Expression(query)),
      async bytes() {
        beside.pragma('wal_checkpoint(truncate)')
        return statSync(path).size
      },
      async close() {
        beside.close()
        await store.close()
        rmSync(path)
      },
    }
  }

const postgresOn =
  (server: TestPostgres): Make =>
  async (_name, consults, plans) => {
    const url = await server.freshSchema()
    const database = await openPostgresDatabase(url)
    await fillPostgres(url, inventedRows(consults, plans, await packAll(database, plans)))
    const store = await storeOver(database, NOW)
    return {
      database,
      store,
      bare: (query) =>
        sql`select consult from ${sql.raw('search')}, cast(${searchQuery(query)} as tsquery) as wanted
            where words @@ wanted order by ts_rank(words, wanted) desc limit 10`.execute(database.db),
      async bytes() {
        const [row] = await server.query(
          url,
          `select sum(pg_total_relation_size(c.oid))::float8 as bytes from pg_class c
           where c.relkind = 'r' and c.relnamespace = (select oid from pg_namespace where nspname = current_schema())`,
        )
        return Number(row?.['bytes'])
      },
      close: () => store.close(),
    }
  }

async function searchTimes({ store, bare }: Opened, queries: readonly string[]) {
  const ours: number[] = []
  const theirs: number[] = []
  for (const [round, words] of queries.entries()) {
    const query = queryOf(words)
    if (!query) throw new Error('a query of this benchmark asks for nothing')
    const timed = async (into: number[], work: () => Promise<unknown>) => {
      const start = performance.now()
      await work()
      into.push(performance.now() - start)
    }
    const find = () => timed(ours, () => store.trail.find(query, SCOPE, 10))
    const match = () => timed(theirs, () => bare(query))
    // Whoever comes second finds the pages warm, so they take turns.
    for (const work of round % 2 === 0 ? [find, match] : [match, find]) await work()
  }
  return { ours, theirs }
}

/** As a card looks for past cases like its own. */
async function similarTimes(store: KeptStore, consults: number): Promise<readonly number[]> {
  const times: number[] = []
  for (let round = 0; round < SIMILAR; round += 1) {
    const [here] = await store.view.rowsOf([refOf(FIRST_QUESTION + ((round * 7919) % consults))])
    if (!here) throw new Error('an invented consult has no facts')
    const start = performance.now()
    await nearestCases(here, store.view.similarRows(SCOPE, LOOKED_THROUGH, '9999'), 3)
    times.push(performance.now() - start)
  }
  return times
}

/** What an export holds in memory at most while the first consults go by, few and many of them; it is broken off there. */
async function exportHeld(store: KeptStore, [standIn]: readonly Plan[], of: number): Promise<readonly number[]> {
  // Plans stand under made-up hashes, so each is read and then found not to be the one it is called.
  const trail = { ...store.trail, plan: (hash: string) => store.trail.plan(hash).catch(() => standIn) }
  const held: number[] = []
  for (const consults of EXPORTED.map((most) => Math.min(most, of))) {
    collectGarbage()
    const before = process.memoryUsage().heapUsed
    let lines = 0
    let most = 0
    for await (const _line of exportLines(trail, {}, '0.1.0')) {
      lines += 1
      if (lines % Math.floor((consults * 3) / 10) === 0) {
        collectGarbage()
        most = Math.max(most, process.memoryUsage().heapUsed - before)
      }
      if (lines === consults * 3) break
    }
    held.push(most / 1024)
  }
  return held
}

const shares = (times: readonly number[]): string => [0.5, 0.95, 0.99].map((share) => at(times, share).toFixed(2)).join(' / ')
const ratio = (ours: readonly number[], theirs: readonly number[], share: number): string =>
  `${(at(ours, share) / at(theirs, share)).toFixed(2)} x`

async function measured(
  name: string,
  consults: number,
  make: Make,
  small: Opened,
  plans: readonly Plan[],
  ready: () => Promise<void>,
) {
  const begun = performance.now()
  const large = await make(`of-${consults}`, consults, plans)
  const filled = performance.now() - begun
  await ready()
  const smallTimes: number[] = []
  const largeTimes: number[] = []
  for (let number = 0; number < APPENDS; number += 1) {
    const fresh = FIRST_QUESTION + LATER + appended + number
    smallTimes.push(await appendTime(small.store, fresh, plans))
    largeTimes.push(await appendTime(large.store, fresh, plans))
  }
  appended += APPENDS
  const few = Array.from({ length: SEARCHES }, (_, round) => pick(selective((round * 7919) % consults), round))
  const many = Array.from({ length: SEARCHES / 10 }, (_, round) => pick(COMMON, round))
  await searchTimes(large, [...few.slice(0, 10), ...COMMON])
  const rare = await searchTimes(large, few)
  const common = await searchTimes(large, many)
  const similar = await similarTimes(large.store, consults)
  const bytes = (await large.bytes()) / (consults + APPENDS)
  const held = await exportHeld(large.store, plans, consults)
  await large.close()
  return {
    database: name,
    consults,
    'filled in': `${Math.round(filled / 1000)} s`,
    'append p50': ms(at(largeTimes, 0.5)),
    'of 10,000': ratio(largeTimes, smallTimes, 0.5),
    'selective p50/95/99 ms': shares(rare.ours),
    'p95 of bare': ratio(rare.ours, rare.theirs, 0.95),
    'common p50/95/99 ms': shares(common.ours),
    'common p95 of bare': ratio(common.ours, common.theirs, 0.95),
    'similar p50/95/99 ms': shares(similar),
    'bytes a consult': Math.round(bytes),
    'export holds, KB': `${held.map(Math.round).join(' / ')}`,
  }
}
let appended = 0

async function run(which: string, sizes: readonly number[], ready: () => Promise<void>): Promise<void> {
  const plans = await inventedPlans(PLANS)
  const folder = mkdtempSync(join(tmpdir(), 'soundings-large-'))
  const server = which === 'sqlite' ? undefined : await startPostgres(true)
  const makes: (readonly [string, Make])[] = [
    ...(which === 'postgres' ? [] : [['SQLite', sqliteIn(folder)] as const]),
    ...(server ? [['PostgreSQL', postgresOn(server)] as const] : []),
  ]
  try {
    for (const [name, make] of makes) {
      const small = await make('small', SMALL, plans)
      for (const size of sizes) console.table([await measured(name, size, make, small, plans, ready)])
      await small.close()
    }
  } finally {
    await server?.stop()
    rmSync(folder, { recursive: true })
  }
}

const [which = 'both', ...others] = process.argv.slice(2)
const sizes = others.filter((one) => one !== WAIT).map(Number)
const lines = others.includes(WAIT) ? createInterface({ input: process.stdin }) : undefined
await run(which, sizes.length === 0 ? [10_000, 100_000] : sizes, async () => {
  if (!lines) return
  console.info('Filled; measured once a line comes in.')
  await once(lines, 'line')
})
lines?.close()
