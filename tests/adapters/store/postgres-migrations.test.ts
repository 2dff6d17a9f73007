import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { derivedFrom } from '../../../adapters/store/appending.js'
import { MIGRATIONS } from '../../../adapters/store/postgres/migrations.js'
import { openPostgresStore } from '../../../adapters/store/postgres/open.js'
import { searchVector } from '../../../adapters/store/postgres/search-words.js'
import { openForChecking } from '../../../adapters/trail-tables.js'
import { makeMissingFacts } from '../../../adapters/workers/facts-work.js'
import { canonicalJson, sha256 } from '../../../src/trail/chain.js'
import { examineTrail } from '../../../src/trail/examine.js'
import { queryOf } from '../../../src/trail/find.js'
import { sealRow } from '../../../src/trail/record-acts.js'
import { ASKER, at, CORNEA, PLACE } from '../../consult/invented-people.js'
import { postgresIsThere, startPostgres, type TestPostgres } from '../../tools/postgres.js'
import { eventsOfEarlierTrail } from './earlier-trail.js'

const FIRST_ROWS = readFileSync(new URL('earlier-trail.sql', import.meta.url), 'utf8')
const COUNTED = ['plan_pieces.number', 'consults.number', 'drafts.number', 'inbox.seq', 'outbox.seq']

/** What the first version of the schema held here: the rows of the SQLite file, and what that gained in its later steps. */
async function firstRows(): Promise<readonly string[]> {
  const { words, row } = derivedFrom('MARSH-7', await eventsOfEarlierTrail())
  const rows = FIRST_ROWS.split('\n').filter((line) => line.startsWith('insert') && !line.startsWith('insert into search'))
  const held = { at: at(6), by: 'Alder', act: 'hold-set', ref: 'MARSH-7', subject: '', because: 'asked for' } as const
  const seen = { at: at(7), by_id: ASKER.id, by_name: 'Wren', what: 'viewed', ref: 'MARSH-7', words: null } as const
  return [
    ...rows.map((line) =>
      line
        .replaceAll(/X'([0-9A-F]*)'/g, String.raw`'\x$1'::bytea`)
        .replaceAll('char(1)', 'chr(1)')
        .replace(') values (', ') overriding system value values (')
        .replace(/^(insert into consults \(.*opinions)(\).*), 1\);$/, `$1, status$2, 1, '${row.status}');`),
    ),
    `insert into search values (1, 'slack', 'T1', '${searchVector(words).replaceAll("'", "''")}'::tsvector)`,
    `insert into waking values ('MARSH-7', '2026-03-02T18:00:00.000Z')`,
    `insert into conversations values ('tenant', '19:channel', 'channel', 'https://one.example/')`,
    `insert into person_settings values ('slack:T1:U1', 'Europe/London', '20:00', '07:00', 0)`,
    rowOf('record_acts', sealRow(held, undefined)),
    rowOf('accesses', sealRow(seen, undefined)),
    ...COUNTED.map((column) => {
      const [table = '', name = ''] = column.split('.')
      return `select setval(pg_get_serial_sequence('${table}', '${name}'), (select max(${name}) from ${table}))`
    }),
  ]
}

const literal = (value: unknown): string =>
  value === null ? 'null' : typeof value === 'number' ? String(value) : `'${String(value).replaceAll("'", "''")}'`
const rowOf = (table: string, row: object): string =>
  `insert into ${table} (${Object.keys(row).join(', ')}) values (${Object.values(row).map(literal).join(', ')})`

/** What each later version could hold besides. */
const ROWS_SINCE: Readonly<Record<number, string>> = {
  2: `insert into facts values (1, '{"ref":"MARSH-7"}')`,
  3: `insert into audiences values ('slack', 'T1', 'C1', 'C1', '2026-03-02T18:00:00.000Z')`,
}

const NAMES = 'select table_name, column_name, data_type, is_nullable from information_schema.columns'
const SCHEMAS = [
  `${NAMES} where table_schema = current_schema() order by table_name, column_name`,
  `select indexname, replace(indexdef, current_schema(), '') as made from pg_indexes where schemaname = current_schema() order by indexname`,
  `select tgname, tgtype, c.relname from pg_trigger join pg_class c on c.oid = tgrelid
     where c.relnamespace = current_schema()::regnamespace and not tgisinternal order by tgname`,
]

describe.runIf(postgresIsThere())('a trail in PostgreSQL that an earlier version wrote', () => {
  let server: TestPostgres
  const written = new Map<number, string>()
  beforeAll(async () => {
    server = await startPostgres()
  })
  afterAll(() => server.stop())

  /** A schema as that version left it. */
  async function writtenBy(version: number): Promise<string> {
    const url = await server.freshSchema()
    written.set(version, url)
    for (const [index, step] of MIGRATIONS.slice(0, version).entries()) {
      await server.query(url, step)
      if (index === 0) await server.query(url, (await firstRows()).join(';\n'))
      await server.query(url, ROWS_SINCE[index + 1] ?? 'select 1')
    }
    await server.query(url, `create table schema_steps (applied integer not null); insert into schema_steps values (${version})`)
    return url
  }

  it.each(MIGRATIONS.map((_step, index) => index + 1))(
    'with schema %i is brought up to date, holds what it held, and is whole by every check',
    async (version) => {
      const url = await writtenBy(version)
      const store = await openPostgresStore(url, at(9))
      const [asked, opinion] = await store.view.events('MARSH-7')
      expect(asked).toMatchObject({ type: 'consult-asked', question: 'Chop or manual?', by: ASKER })
      expect(opinion).toMatchObject({ opinion: { sentence: 'stain the capsule' } })
      if (asked?.type !== 'consult-asked') throw new Error('nothing was asked')
      const plan = await store.view.plan(asked.planHash)
      expect(sha256(canonicalJson(plan))).toBe(asked.planHash)
      expect(plan).toMatchObject({ lens: { recommended: { powerD: 9 } } })

      const query = queryOf('staphyloma stain')
      expect(query && (await store.trail.find(query, 'everything', 5))).toMatchObject([{ ref: 'MARSH-7', opinions: 1 }])
      expect(await store.view.rowsOf(['MARSH-7'])).toMatchObject([{ ref: 'MARSH-7', partOf: [ASKER.id, CORNEA.id] }])
      expect(await store.view.draft('d1')).toMatchObject({ text: 'LE AL 29.60' })
      expect(await store.view.person(ASKER.id)).toEqual(ASKER)
      expect(await store.view.settings(ASKER.id)).toMatchObject({ zone: 'Europe/London', reminders: false })
      expect((await store.inbox.next(at(9)))?.inbound).toMatchObject({ text: 'not handled yet' })
      expect(await store.view.consultInThread({ ...PLACE, thread: 'm1' })).toBe('MARSH-7')
      expect(await store.view.open('everything', 5)).toEqual(['MARSH-7'])
      expect(await store.conversations.get('tenant', '19:channel')).toMatchObject({ kind: 'channel' })
      expect(await store.reminding.nextDue()).toBe('2026-03-02T18:00:00.000Z')
      expect(await store.accessLog.newest(5, 'MARSH-7')).toMatchObject([{ what: 'viewed', by: { id: ASKER.id } }])
      if (version >= 3) expect(await store.view.audienceOf(PLACE)).toEqual({ membersOf: 'C1' })

      await makeMissingFacts(store.missingFacts, { log: { info: () => {} }, stopped: () => false, rest: async () => {} })
      await store.close()
      const checking = await openForChecking(url)
      const seen = await examineTrail(checking.trail)
      expect(seen).toMatchObject({ events: 2, consults: 1, plans: 1, texts: 3 })
      expect(seen).not.toHaveProperty('fault')
      const checks = await checking.checkTables({ rows: seen.events, head: seen.head }, await checking.logs())
      expect(checks.flatMap(({ name, faults }) => faults.map((words) => `${name}: ${words}`))).toEqual([])
      await checking.close()
    },
  )

  it('has the same tables, columns, indexes and guards as one that is made now', async () => {
    const schema = (url: string) => Promise.all(SCHEMAS.map((statement) => server.query(url, statement)))
    const fresh = await server.freshSchema()
    await (await openPostgresStore(fresh, at(0))).close()
    const made = await schema(fresh)
    expect(made[0]?.length).toBeGreaterThan(50)
    for (const [version, url] of written) expect(await schema(url), String(version)).toEqual(made)
  })
})
