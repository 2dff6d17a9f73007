import { randomBytes } from 'node:crypto'
import { mkdtempSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import Sqlite from 'better-sqlite3'
import { readGround } from '../adapters/ground.js'
import { appendEvents } from '../adapters/store/appending.js'
import type { Database } from '../adapters/store/database.js'
import { packPlan } from '../adapters/store/plan-packing.js'
import { openSqliteDatabase } from '../adapters/store/sqlite/open.js'
import { storeOver } from '../adapters/store/store.js'
import type { ConsultEvent } from '../src/consult/events.js'
import type { Person, Place } from '../src/consult/people.js'
import type { Inbound } from '../src/desk/ports.js'
import { NO_EFFECTS, type Store } from '../src/desk/store.js'
import { understand } from '../src/intake/understand.js'
import { makePlan } from '../src/plan/make-plan.js'
import type { Plan } from '../src/plan/plan.js'
import { contentHash } from '../src/trail/chain.js'
import { fts5Expression, queryOf } from '../src/trail/find.js'
import { searchWords } from '../src/trail/words.js'

const CONSULTS = 10_000
const SMALL = 1_000
const IN_ONE_TRANSACTION = 500
const PLANS = 60
const APPENDS = 200
const SEARCHES = 300
export const NOW = '2026-03-02T18:00:00.000Z'

/** Everything below is invented: people, eyes and what is said of them. */
export const PLACE: Place = { platform: 'web', workspace: 'local', channel: 'page' }
const ASKER: Person = { id: 'web:bench-1', name: 'Wren', grade: 'registrar' }
const COLLEAGUE: Person = { id: 'web:bench-2', name: 'Alder', grade: 'consultant', field: 'cornea' }
const SENTENCES = [
  'larger rhexis, trypan blue',
  'sub-Tenon rather than topical',
  'lower the bottle at entry',
  'low threshold to convert',
  'ring ready in theatre',
]
const QUESTIONS = ['chop or manual', 'one stage or two', 'which lens', 'who should operate', 'is the B-scan enough']
const QUERIES = [
  'staphyloma sub-Tenon',
  'brown manual',
  'MARSH-77',
  'trypan convert',
  '31.4',
  'short eye retrobulbar',
  'HARBOUR-9',
  'pseudoexfoliation ring',
]

export const pick = <Item>(items: readonly Item[], number: number): Item => items[number % items.length] as Item
const refOf = (number: number): string =>
  `${pick(['MARSH', 'QUAY', 'HEATH', 'HARBOUR', 'REEF', 'TARN', 'MOOR'], number)}-${number}`
export const salt = (): string => randomBytes(16).toString('base64url')

const message = (number: number): string =>
  [
    `${pick(['LE', 'RE'], number)} ${50 + (number % 40)}${pick(['M', 'F'], number)}, AL ${(21 + (number % 110) / 10).toFixed(2)} optical,`,
    `K1 ${(41 + (number % 30) / 10).toFixed(2)}@95 K2 ${(42 + (number % 30) / 10).toFixed(2)}@5, ACD ${(2.4 + (number % 14) / 10).toFixed(2)}, LT 4.90;`,
    `${pick(['brown NO 5.2', 'NO 4.1', '3+', 'white cataract'], number)}; ECD ${1200 + (number % 15) * 100};`,
    `${pick(['staphyloma', 'no staphyloma'], number >> 1)}; ${pick(['PXF', 'no PXF'], number >> 2)}; target -${(number % 12) / 4};`,
    `${pick(['registrar', 'consultant', 'fellow'], number)}; ${pick(['sub-Tenon', 'topical', 'retrobulbar', 'general anaesthesia'], number)}`,
  ].join(' ')

export async function inventedPlans(count = PLANS): Promise<readonly Plan[]> {
  const read = await readGround({}, 'allowed')
  if ('faults' in read) throw new Error(read.faults.join('\n'))
  const plans: Plan[] = []
  for (let number = 0; number < count; number += 1) {
    const understood = understand(message(number * 7), { today: '2026-03-02', lensLabels: [] })
    if (understood.kind !== 'case') throw new Error(`the invented message ${number} was not read as a case`)
    plans.push(await makePlan(understood.case, read.ground))
  }
  return plans
}

/** One consult of the kind that fills a trail: an asking, an opinion, a comment; its plan differs from every other. */
export function consult(number: number, plans: readonly Plan[], givenHash?: string) {
  const base = pick(plans, number)
  const value = `${pick(QUESTIONS, number)} (${number})`
  const plan: Plan = { ...base, case: { ...base.case, question: { value, source: `? ${value}`, line: 1 } } }
  const ref = refOf(number)
  const hash = givenHash ?? contentHash(plan)
  const common = { ref, at: new Date(Date.parse(NOW) + number * 60_000).toISOString() }
  const events: readonly ConsultEvent[] = [
    { ...common, type: 'consult-asked', by: ASKER, place: PLACE, planHash: hash, question: value, words: searchWords(plan) },
    {
      ...common,
      type: 'opinion-given',
      by: COLLEAGUE,
      revision: 1,
      opinion: { kind: 'agree-with-changes', steps: ['nucleus'], sentence: pick(SENTENCES, number) },
    },
    { ...common, type: 'comment-made', by: ASKER, text: `B-scan repeated, ${pick(SENTENCES, number + 1)}` },
  ]
  return { events, plan: { hash, plan } }
}

async function fill(database: Database, from: number, to: number, plans: readonly Plan[]): Promise<void> {
  for (let start = from; start < to; start += IN_ONE_TRANSACTION) {
    const batch = Array.from({ length: Math.min(IN_ONE_TRANSACTION, to - start) }, (_, index) => consult(start + index, plans))
    await database.db.transaction().execute(async (writer) => {
      for (const { events, plan } of batch) {
        await writer
          .insertInto('plans')
          .values(await packPlan(writer, plan.plan))
          .execute()
        if (!(await appendEvents(database, writer, events, 0, salt))) throw new Error('an invented consult stands there already')
      }
    })
  }
}

/** Milliseconds that one consult takes through the inbox, durable when it returns. */
export async function appendTime(store: Store, number: number, plans: readonly Plan[]): Promise<number> {
  const inbound: Inbound = { kind: 'text', text: 'x', by: ASKER, place: PLACE, addressed: true, hasPicture: false, reply: {} }
  const { events, plan } = consult(number, plans)
  const start = performance.now()
  await store.inbox.put({ key: `bench ${number}`, inbound }, NOW)
  const waiting = await store.inbox.next(NOW)
  const outcome = await store.inbox.commit(waiting?.seq ?? 0, { ...NO_EFFECTS, events, plans: [plan] }, NOW)
  if (outcome !== 'committed') throw new Error('an invented consult was not committed')
  return performance.now() - start
}

/** The same queries in turn through the trail and bare, in alternating order. */
async function searchTimes(store: Store, path: string) {
  const bare = new Sqlite(path, { readonly: true })
  const statement = bare.prepare('select rowid from search where search match ? order by rank limit 10')
  const ours: number[] = []
  const theirs: number[] = []
  for (let round = 0; round < SEARCHES; round += 1) {
    const query = queryOf(pick(QUERIES, round))
    if (!query) throw new Error('a query of this benchmark asks for nothing')
    const expression = fts5Expression(query)
    const find = async () => {
      const start = performance.now()
      await store.trail.find(query, { platform: 'web', workspace: 'local' }, 10)
      ours.push(performance.now() - start)
    }
    const match = () => {
      const start = performance.now()
      statement.all(expression)
      theirs.push(performance.now() - start)
    }
    if (round % 2 === 0) match()
    await find()
    if (round % 2 === 1) match()
  }
  bare.close()
  return { ours, theirs }
}

export const at = (times: readonly number[], share: number): number =>
  times.toSorted((one, other) => one - other)[Math.min(times.length - 1, Math.floor(times.length * share))] ?? Number.NaN
export const ms = (value: number): string => `${value.toFixed(2)} ms`

/** The trail of so many invented consults: size, appending against a small trail in turn, search against the bare full-text query. */
export async function run(consults = CONSULTS): Promise<void> {
  const plans = await inventedPlans()
  const folder = mkdtempSync(join(tmpdir(), 'soundings-bench-'))
  const trailOf = async (name: string, filled: number) => {
    const path = join(folder, `${name}.db`)
    const database = openSqliteDatabase(path)
    const store = await storeOver(database, NOW)
    await fill(database, 0, filled, plans)
    return { path, store, database }
  }
  const smallTrail = await trailOf('small', SMALL)
  const { path, store, database } = await trailOf('large', consults)
  try {
    const small: number[] = []
    const large: number[] = []
    for (let number = 0; number < APPENDS; number += 1) {
      small.push(await appendTime(smallTrail.store, SMALL + number, plans))
      large.push(await appendTime(store, consults + number, plans))
    }
    const { ours, theirs } = await searchTimes(store, path)
    const checkpoint = new Sqlite(path)
    checkpoint.pragma('wal_checkpoint(truncate)')
    checkpoint.close()
    const bytes = statSync(path).size / (consults + APPENDS)
    const { pieces } = await database.db
      .selectFrom('plan_pieces')
      .select((build) => build.fn.countAll<number>().as('pieces'))
      .executeTakeFirstOrThrow()
    console.info(
      `${consults} invented consults, each an asking, an opinion and a comment; ${pieces} pieces shared by their plans`,
    )
    console.table({
      'append one consult': {
        measured: `p50 ${ms(at(large, 0.5))}`,
        ratio: `${(at(large, 0.5) / at(small, 0.5)).toFixed(2)} x a trail of ${SMALL}`,
        budget: 'at most 1.2 x',
      },
      'find, p50': {
        measured: ms(at(ours, 0.5)),
        ratio: `${(at(ours, 0.5) / at(theirs, 0.5)).toFixed(2)} x the bare query`,
        budget: '',
      },
      'find, p95': {
        measured: ms(at(ours, 0.95)),
        ratio: `${(at(ours, 0.95) / at(theirs, 0.95)).toFixed(2)} x the bare query`,
        budget: 'at most 1.3 x at 1,000,000',
      },
      'disk a consult': { measured: `${Math.round(bytes)} bytes`, ratio: '', budget: 'at most 5120' },
    })
  } finally {
    await store.close()
    await smallTrail.store.close()
    rmSync(folder, { recursive: true })
  }
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) await run(Number(process.argv[2] ?? CONSULTS))
