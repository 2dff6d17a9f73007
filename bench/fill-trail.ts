import Sqlite from 'better-sqlite3'
import pg from 'pg'
import { searchVector } from '../adapters/store/postgres/search-words.js'
import type { ConsultEvent } from '../src/consult/events.js'
import type { Plan } from '../src/plan/plan.js'
import { type CommittedText, GENESIS, type Link, seal, sha256 } from '../src/trail/chain.js'
import { eventWords } from '../src/trail/event-words.js'
import { searchText } from '../src/trail/find.js'
import { consult, pick } from './trail.js'

/**
 * Fills an empty trail with invented consults, faster than a store would: sealed and indexed as the store does it, many to a
 * transaction. Only the plans are not each their own: the packed bytes of some hundred stand in turn under fresh names.
 */
export interface InventedRows {
  readonly number: number
  readonly ref: string
  readonly askedAt: string
  readonly links: readonly Link[]
  readonly texts: readonly CommittedText[]
  readonly plan: { readonly hash: string; readonly body: Uint8Array }
  readonly asked: string
  readonly talk: string
}

let salts = 0
const cheapSalt = (): string => {
  salts += 1
  return salts.toString(36).padStart(22, '0')
}

export function* inventedRows(count: number, plans: readonly Plan[], packed: readonly Uint8Array[]): Generator<InventedRows> {
  let previous = GENESIS
  let position = 0
  for (let index = 0; index < count; index += 1) {
    const { events } = consult(index, plans, sha256(`plan ${index}`))
    const links: Link[] = []
    const texts: CommittedText[] = []
    for (const event of events) {
      position += 1
      const sealed = seal(event, { position, version: links.length + 1, previous }, cheapSalt)
      previous = sealed.link.hash
      links.push(sealed.link)
      texts.push(...sealed.texts)
    }
    const [asking] = events
    if (asking?.type !== 'consult-asked') throw new Error('an invented consult begins with its asking')
    yield {
      number: index + 1,
      ref: asking.ref,
      askedAt: asking.at,
      links,
      texts,
      plan: { hash: asking.planHash, body: pick(packed, index) },
      asked: searchText([asking.ref, asking.at.slice(0, 10), asking.by.name, asking.words, asking.question ?? ''].join(' ')),
      talk: searchText(
        events
          .slice(1)
          .map((event: ConsultEvent) => eventWords(event))
          .join(' '),
      ),
    }
  }
}

const IN_ONE_TRANSACTION = 1_000

export function fillSqlite(path: string, rows: Iterable<InventedRows>): void {
  const file = new Sqlite(path)
  file.pragma('journal_mode = WAL')
  file.pragma('synchronous = OFF')
  const event = file.prepare('insert into events values (@position, @ref, @version, @body, @previous, @hash)')
  const text = file.prepare('insert into texts values (@commitment, @salt, @text)')
  const plan = file.prepare('insert into plans values (@hash, @body)')
  const row = file.prepare("insert into consults values (?, ?, 'web', 'local', ?, 1, 'asked')")
  const words = file.prepare('insert into search (rowid, asked, talk) values (?, ?, ?)')
  let open = 0
  for (const one of rows) {
    if (open === 0) file.exec('begin')
    for (const link of one.links) event.run(link)
    for (const each of one.texts) text.run(each)
    plan.run(one.plan)
    row.run(one.number, one.ref, one.askedAt)
    words.run(one.number, one.asked, one.talk)
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
  // Built at once at the end, as whoever moves a large trail would do it.
  await client.query('drop index search_words')
  let batch: InventedRows[] = []
  const flush = async () => {
    const links = batch.flatMap((one) => one.links)
    const texts = batch.flatMap((one) => one.texts)
    await client.query('begin')
    await client.query(
      'insert into events select * from unnest($1::bigint[], $2::text[], $3::int[], $4::text[], $5::text[], $6::text[])',
      [
        links.map(({ position }) => position),
        links.map(({ ref }) => ref),
        links.map(({ version }) => version),
        links.map(({ body }) => body),
        links.map(({ previous }) => previous),
        links.map(({ hash }) => hash),
      ],
    )
    await client.query('insert into texts select * from unnest($1::text[], $2::text[], $3::text[])', [
      texts.map(({ commitment }) => commitment),
      texts.map(({ salt }) => salt),
      texts.map(({ text }) => text),
    ])
    await client.query('insert into plans select * from unnest($1::text[], $2::bytea[])', [
      batch.map(({ plan }) => plan.hash),
      batch.map(({ plan }) => Buffer.from(plan.body)),
    ])
    await client.query(
      `insert into consults (ref, platform, workspace, asked_at, opinions, status)
       select ref, 'web', 'local', asked_at, 1, 'asked' from unnest($1::text[], $2::text[]) as given (ref, asked_at)`,
      [batch.map(({ ref }) => ref), batch.map(({ askedAt }) => askedAt)],
    )
    await client.query(
      'insert into search select consults.number, consults.platform, consults.workspace, given.words from unnest($1::text[], $2::tsvector[]) as given (ref, words) join consults using (ref)',
      [batch.map(({ ref }) => ref), batch.map(searchVector)],
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
