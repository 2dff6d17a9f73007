import { createHash, randomBytes } from 'node:crypto'
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
import { hashBytes } from '../adapters/store/text-packing.js'
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
const NAMES =
  'Heron Linnet Plover Curlew Dunlin Siskin Whinchat Merlin Osprey Teal Hazel Rowan Sorrel Bramble Yarrow Tansy'.split(' ')
const SECOND = 'Fell Ness Combe Holt Wick Strand Garth Thorpe Beck Haugh Lea Moss Pike Rigg Scar Shaw'.split(' ')
const SENTENCES = [
  'larger rhexis, trypan blue',
  'sub-Tenon rather than topical',
  'lower the bottle at entry',
  'low threshold to convert',
  'ring ready in theatre',
  'I have seen three of these go wrong at the last quadrant',
  'repeat the biometry with the other instrument first',
  'would sleep better with the retina clinic looking first',
  'leave the hydrodissection gentle, the posterior pole worries me',
  'ask theatre for the second machine, ours is being serviced',
  'no hurry here, the other eye sees well',
  'had one like it in the autumn: long, soft zonules, went well',
]
export const QUESTIONS = ['chop or manual', 'one stage or two', 'which lens', 'who should operate', 'is the B-scan enough']
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
export const refOf = (number: number): string =>
  `${pick(['MARSH', 'QUAY', 'HEATH', 'HARBOUR', 'REEF', 'TARN', 'MOOR'], number)}-${number}`
export const salt = (): string => randomBytes(16).toString('base64url')

/** A number below `below` that is always the same for this consult and this part of it. */
const drawn = (number: number, part: string, below: number): number =>
  createHash('sha256').update(`${part} ${number}`).digest().readUInt32BE(0) % below
const chosen = <Item>(items: readonly Item[], number: number, part: string): Item =>
  pick(items, drawn(number, part, items.length))

const personOf = (number: number, part: string, of: Omit<Person, 'id' | 'name'>): Person => {
  const who = drawn(number, part, 200)
  const id = createHash('sha256').update(`person ${who}`).digest('hex').slice(0, 10).toUpperCase()
  return { id: `web:U${id}`, name: `${pick(NAMES, who)} ${chosen(SECOND, who, 'second')}`, ...of }
}

/** A message as people type it, each value drawn on its own, so that hardly two eyes are alike. */
function message(number: number): string {
  const value = (part: string, from: number, to: number) =>
    (from + drawn(number, part, Math.round((to - from) * 100)) / 100).toFixed(2)
  const flat = Number(value('flat', 41, 46))
  const axis = drawn(number, 'axis', 90)
  return [
    `${chosen(['LE', 'RE'], number, 'eye')} ${50 + drawn(number, 'age', 40)}${chosen(['M', 'F'], number, 'sex')}, AL ${value('length', 21, 32)} optical,`,
    `K1 ${flat.toFixed(2)}@${axis} K2 ${(flat + drawn(number, 'cylinder', 250) / 100).toFixed(2)}@${axis + 90}, ACD ${value('chamber', 2.3, 3.8)}, LT ${value('lens', 4, 5.4)};`,
    `${chosen(['brown NO 5.2', 'NO 4.1', '3+', 'white cataract'], number, 'nucleus')}; ECD ${1100 + drawn(number, 'cells', 1500)};`,
    `${chosen(['staphyloma', 'no staphyloma'], number, 'wall')}; ${chosen(['PXF', 'no PXF'], number, 'zonules')}; target -${drawn(number, 'target', 12) / 4};`,
    `${chosen(['registrar', 'consultant', 'fellow'], number, 'grade')}; ${chosen(['sub-Tenon', 'topical', 'retrobulbar', 'general anaesthesia'], number, 'block')}`,
  ].join(' ')
}

export async function inventedPlans(count = PLANS): Promise<readonly Plan[]> {
  const read = await readGround({}, 'allowed')
  if ('faults' in read) throw new Error(read.faults.join('\n'))
  const plans: Plan[] = []
  for (let number = 0; number < count; number += 1) {
    const understood = understand(message(number), { today: '2026-03-02', lensLabels: [] })
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
  const at = (part: string) => new Date(Date.parse(NOW) + number * 60_000 + drawn(number, part, 50_000)).toISOString()
  const asker = personOf(number, 'asker', { grade: 'registrar' })
  const said = (part: string) => `${chosen(SENTENCES, number, part)}, ${chosen(SENTENCES, number, `${part} too`)}`
  const events: readonly ConsultEvent[] = [
    {
      type: 'consult-asked',
      ref,
      at: at('asked'),
      by: asker,
      place: PLACE,
      planHash: hash,
      question: value,
      words: searchWords(plan),
    },
    {
      type: 'opinion-given',
      ref,
      at: at('answered'),
      by: personOf(number, 'colleague', { grade: 'consultant', field: 'cornea' }),
      revision: 1,
      opinion: { kind: 'agree-with-changes', steps: ['nucleus'], sentence: said('opinion') },
    },
    { type: 'comment-made', ref, at: at('said'), by: asker, text: `B-scan repeated, ${said('comment')}` },
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
          .values({ hash: hashBytes(plan.hash), body: (await packPlan(writer, plan.plan)).body })
          .execute()
        if (!(await appendEvents(database, writer, events, 0, salt))) throw new Error('an invented consult stands there already')
      }
    })
  }
}

/** Milliseconds that one consult takes through the inbox, durable when it returns. */
export async function appendTime(store: Store, number: number, plans: readonly Plan[]): Promise<number> {
  const by = personOf(number, 'asker', { grade: 'registrar' })
  const inbound: Inbound = { kind: 'text', text: 'x', by, place: PLACE, addressed: true, hasPicture: false, reply: {} }
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
