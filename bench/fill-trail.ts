import { createHash } from 'node:crypto'
import Sqlite from 'better-sqlite3'
import pg from 'pg'
import { derivedFrom } from '../adapters/store/appending.js'
import { searchVector } from '../adapters/store/postgres/search-words.js'
import { eventRow } from '../adapters/store/reading.js'
import type { EventRow, TextRow } from '../adapters/store/tables.js'
import { hashBytes, packText, textRow } from '../adapters/store/text-packing.js'
import type { Plan } from '../src/plan/plan.js'
import { GENESIS, seal, sha256 } from '../src/trail/chain.js'
import { placedRow } from '../src/trail/features.js'
import { consult, pick, refOf } from './trail.js'

/**
 * Fills an empty trail with invented consults, faster than a store would, many to a transaction. The first thousands are
 * sealed, packed and indexed as the store does it. The others are these again under references, hashes and question numbers
 * of their own, byte by byte as long: they fill the tables and the indexes and are found by their own words, while what their
 * sealed events name is that of the consult they copy. The packed bytes of some hundred plans stand in turn.
 */
export interface InventedRows {
  readonly number: number
  readonly ref: string
  readonly askedAt: string
  readonly events: readonly EventRow[]
  readonly texts: readonly TextRow[]
  readonly plan: { readonly hash: Uint8Array; readonly body: Uint8Array }
  readonly facts: Uint8Array
  readonly words: { readonly asked: string; readonly talk: string }
}

const IN_FULL = 4_000
/** Question numbers begin here, so that each is a word that nothing else holds. */
export const FIRST_QUESTION = 1_000_001

let salts = 0
const cheapSalt = (): string => {
  salts += 1
  return salts.toString(36).padStart(22, '0')
}

const freshHash = (what: string): Uint8Array => createHash('sha256').update(what).digest()

export function* inventedRows(count: number, plans: readonly Plan[], packed: readonly Uint8Array[]): Generator<InventedRows> {
  const inFull: InventedRows[] = []
  let head: { readonly position: number; readonly previous: string } = { position: 0, previous: GENESIS }
  for (let index = 0; index < Math.min(count, IN_FULL); index += 1) {
    const { rows, end } = rowsInFull(index, head, plans, packed)
    head = end
    inFull.push(rows)
    yield rows
  }
  for (let index = IN_FULL; index < count; index += 1) yield copied(index, pick(inFull, index))
}

function rowsInFull(
  index: number,
  head: { readonly position: number; readonly previous: string },
  plans: readonly Plan[],
  packed: readonly Uint8Array[],
): { readonly rows: InventedRows; readonly end: { readonly position: number; readonly previous: string } } {
  const question = FIRST_QUESTION + index
  const planHash = sha256(`plan ${question}`)
  const { events: happened } = consult(question, plans, planHash)
  let { position, previous } = head
  const events: EventRow[] = []
  const texts: TextRow[] = []
  for (const event of happened) {
    position += 1
    const sealed = seal(event, { position, version: events.length + 1, previous }, cheapSalt)
    previous = sealed.link.hash
    events.push(eventRow(sealed.link))
    texts.push(...sealed.texts.map(textRow))
  }
  const ref = refOf(question)
  const { consult: folded, row, words } = derivedFrom(ref, happened)
  return {
    rows: {
      number: index + 1,
      ref,
      askedAt: row.asked_at,
      events,
      texts,
      plan: { hash: hashBytes(planHash), body: pick(packed, question) },
      facts: packText(JSON.stringify(placedRow(folded, pick(plans, question)))),
      words,
    },
    end: { position, previous },
  }
}

function copied(index: number, of: InventedRows): InventedRows {
  const question = FIRST_QUESTION + index
  const ref = refOf(question)
  const asInRef = (one: string) => one.toLowerCase().replace('-', ' ')
  const fresh = (words: string) =>
    words.replaceAll(asInRef(of.ref), asInRef(ref)).replaceAll(String(FIRST_QUESTION + of.number - 1), String(question))
  const apart = index + 1 - of.number
  return {
    ...of,
    number: index + 1,
    ref,
    askedAt: new Date(Date.parse(of.askedAt) + apart * 60_000).toISOString(),
    events: of.events.map((event, place) => ({
      ...event,
      position: event.position + apart * of.events.length,
      ref,
      previous: freshHash(`${index} ${place}`),
      hash: freshHash(place + 1 === of.events.length ? `${index + 1} 0` : `${index} ${place + 1}`),
    })),
    texts: of.texts.map((text, place) => ({ ...text, commitment: freshHash(`text ${index} ${place}`) })),
    plan: { ...of.plan, hash: freshHash(`plan ${index}`) },
    words: { asked: fresh(of.words.asked), talk: fresh(of.words.talk) },
  }
}

const IN_ONE_TRANSACTION = 1_000

export function fillSqlite(path: string, rows: Iterable<InventedRows>): void {
  const file = new Sqlite(path)
  file.pragma('journal_mode = WAL')
  file.pragma('synchronous = OFF')
  file.pragma('cache_size = -262144')
  const event = file.prepare('insert into events values (@position, @ref, @version, @body, @previous, @hash)')
  const text = file.prepare('insert into texts values (@commitment, @salt, @text)')
  const plan = file.prepare('insert into plans values (@hash, @body)')
  const row = file.prepare("insert into consults values (?, ?, 'web', 'local', ?, 1, 'asked')")
  const facts = file.prepare('insert into facts values (?, ?)')
  const waking = file.prepare('insert into waking (ref, look_at) values (?, ?)')
  const words = file.prepare('insert into search (rowid, asked, talk) values (?, ?, ?)')
  let open = 0
  for (const one of rows) {
    if (open === 0) file.exec('begin')
    for (const each of one.events) event.run(each)
    for (const each of one.texts) text.run(each)
    plan.run(one.plan)
    row.run(one.number, one.ref, one.askedAt)
    facts.run(one.number, one.facts)
    waking.run(one.ref, one.askedAt)
    words.run(one.number, one.words.asked, one.words.talk)
    open += 1
    if (open === IN_ONE_TRANSACTION) {
      file.exec('commit')
      open = 0
    }
  }
  if (open > 0) file.exec('commit')
  file.close()
}

export async function fillPostgres(url: string, rows: Iterable<InventedRows>): Promise<void> {
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  await client.query('set synchronous_commit = off')
  await client.query("set maintenance_work_mem = '1GB'")
  // Built at once at the end, as whoever moves a large trail would do it.
  await client.query('drop index search_words')
  let batch: InventedRows[] = []
  const flush = async () => {
    const events = batch.flatMap((one) => one.events)
    const texts = batch.flatMap((one) => one.texts)
    await client.query('begin')
    await client.query(
      'insert into events select * from unnest($1::bigint[], $2::text[], $3::int[], $4::bytea[], $5::bytea[], $6::bytea[])',
      [
        events.map(({ position }) => position),
        events.map(({ ref }) => ref),
        events.map(({ version }) => version),
        events.map(({ body }) => Buffer.from(body)),
        events.map(({ previous }) => Buffer.from(previous)),
        events.map(({ hash }) => Buffer.from(hash)),
      ],
    )
    await client.query('insert into texts select * from unnest($1::bytea[], $2::text[], $3::bytea[])', [
      texts.map(({ commitment }) => Buffer.from(commitment)),
      texts.map(({ salt }) => salt),
      texts.map(({ text }) => (text === null ? null : Buffer.from(text))),
    ])
    await client.query('insert into plans select * from unnest($1::bytea[], $2::bytea[])', [
      batch.map(({ plan }) => Buffer.from(plan.hash)),
      batch.map(({ plan }) => Buffer.from(plan.body)),
    ])
    const refs = batch.map(({ ref }) => ref)
    const times = batch.map(({ askedAt }) => askedAt)
    await client.query(
      `insert into consults (ref, platform, workspace, asked_at, opinions, status)
       select ref, 'web', 'local', asked_at, 1, 'asked' from unnest($1::text[], $2::text[]) as given (ref, asked_at)`,
      [refs, times],
    )
    await client.query('insert into waking (ref, look_at) select * from unnest($1::text[], $2::text[])', [refs, times])
    await client.query(
      'insert into facts select consults.number, given.facts from unnest($1::text[], $2::bytea[]) as given (ref, facts) join consults using (ref)',
      [refs, batch.map(({ facts }) => Buffer.from(facts))],
    )
    await client.query(
      'insert into search select consults.number, consults.platform, consults.workspace, given.words from unnest($1::text[], $2::tsvector[]) as given (ref, words) join consults using (ref)',
      [refs, batch.map(({ words }) => searchVector(words))],
    )
    await client.query('commit')
    batch = []
  }
  for (const one of rows) {
    batch.push(one)
    if (batch.length === IN_ONE_TRANSACTION) await flush()
  }
  if (batch.length > 0) await flush()
  await client.query('create index search_words on search using gin (words) with (fastupdate = off)')
  await client.query('vacuum analyze')
  await client.end()
}
