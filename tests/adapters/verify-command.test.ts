import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { packText, unpackText } from '../../adapters/store/text-packing.js'
import { canonicalJson, sha256 } from '../../src/trail/chain.js'
import { postgresIsThere, startPostgres, type TestPostgres } from '../tools/postgres.js'
import { type Change, postgresBench, sqliteBench, type VerifyBench } from './verify-bench.js'

const KEY = 'a key of these tests, which is long enough'

/**
 * One row of one table changed at a time, with the words that must name it. What is kept in bytes stands in words:
 * `PLAN(n)` is the hash of the plan that event n names, `PACKED(words)` a packed text, and `BODY(n; from; to)` and `FACTS(n; from; to)`
 * are the packed event or facts of that number with one part of them exchanged.
 */
const CHANGES: readonly (readonly [statement: string, named: string])[] = [
  ['update events set body = BODY(2; Wren; Lark) where position = 2', 'Event 2 (QUAY-2)'],
  ['update events set hash = previous where position = 2', 'Event 2 (QUAY-2)'],
  ['update events set previous = hash where position = 3', 'Event 3 (MARSH-7)'],
  ["update events set ref = 'MOOR-1' where position = 2", 'Event 2 (MOOR-1)'],
  ['update events set version = 9 where position = 3', 'Event 3 (MARSH-7)'],
  ['update events set position = 9 where position = 3', 'Event 3 (MARSH-7)'],
  ['delete from events where position = 1', 'Event 1 (QUAY-2): it is missing'],
  ['update texts set text = PACKED(flat on B-scan!) where text = PACKED(flat on B-scan)', 'Event 4 (MARSH-7): a text'],
  ["update texts set salt = salt || 'x' where text = PACKED(flat on B-scan)", 'Event 4 (MARSH-7): a text'],
  ['update texts set commitment = BYTES(00) where text = PACKED(flat on B-scan)', 'Event 4 (MARSH-7): a text'],
  ['delete from texts where text = PACKED(flat on B-scan)', 'Event 4 (MARSH-7): a text'],
  ["insert into texts values (BYTES(00), 'salt', PACKED(put in))", 'texts: 00… is named by no event'],
  ['update texts set text = null, salt = null where text = PACKED(flat on B-scan)', 'erasures: texts: '],
  ['update plans set body = BYTES(00) where hash = PLAN(2)', 'Event 2 (QUAY-2): the plan'],
  ['update plans set hash = BYTES(00) where hash = PLAN(2)', 'Event 2 (QUAY-2): the plan'],
  ['update plans set body = BYTES() where hash = PLAN(2)', 'erasures: plans: '],
  ['delete from plans where hash = PLAN(5)', 'Event 5 (HEATH-4): the plan'],
  ['insert into plans values (BYTES(00), BYTES(00))', 'plans: 00… is named by no event'],
  [
    "update plan_pieces set text = replace(text, 'Lower the bottle', 'Raise the bottle') where text like '%Lower the bottle%'",
    'Event 1 (MARSH-7): the plan',
  ],
  ["delete from plan_pieces where text like '%Lower the bottle%'", 'Event 1 (MARSH-7): the plan'],
  ["update consults set ref = 'MOOR-1' where ref = 'QUAY-2'", 'list of consults: QUAY-2 is missing'],
  ["update consults set workspace = 'T2' where ref = 'QUAY-2'", 'list of consults: QUAY-2'],
  ["update consults set platform = 'web' where ref = 'QUAY-2'", 'list of consults: QUAY-2'],
  ["update consults set asked_at = '2020' where ref = 'QUAY-2'", 'list of consults: QUAY-2'],
  ["update consults set opinions = 5 where ref = 'QUAY-2'", 'list of consults: QUAY-2'],
  ["update consults set status = 'closed' where ref = 'QUAY-2'", 'list of consults: QUAY-2'],
  ["delete from consults where ref = 'QUAY-2'", 'list of consults: QUAY-2'],
  ["insert into consults OVERRIDING values (99, 'MOOR-1', 'slack', 'T1', '2026', 0, 'asked')", 'list of consults: MOOR-1'],
  [
    'update facts set row = FACTS(2; "axialLengthMm":21.4; "axialLengthMm":22.4) where consult = 2',
    'facts of consults: QUAY-2 is not',
  ],
  ['delete from facts where consult = 2', 'facts of consults: QUAY-2 has none'],
  ['insert into facts values (99, PACKED({}))', 'facts of consults: number 99'],
  ['delete from record_acts where number = 1', 'acts on the records: row 1 is missing'],
  ["update record_acts set because = 'x' where number = 2", 'acts on the records: row 2 is not as it was written'],
  ["update record_acts set subject = 'x' where number = 2", 'erasures: '],
  ["update record_acts set act = 'hold-lifted' where act = 'hold-set'", 'acts on the records: '],
  ['delete from accesses where number = 1', 'accesses: row 1 is missing'],
  ["update accesses set by_name = 'Lark' where number = 2", 'accesses: row 2 is not as it was written'],
  ['update accesses set words = null where number = 1', 'accesses: row 1 is not as it was written'],
  ["update waking set ref = 'MOOR-1' where ref = 'QUAY-2'", 'reminders: MOOR-1: there is no such consult'],
  ["update waking set look_at = 'never' where ref = 'QUAY-2'", 'reminders: QUAY-2: when to look again is no time'],
  [
    "update waking set look_at = '2031-03-05T09:00:00.000Z' where ref = 'QUAY-2'",
    'reminders: QUAY-2: it is not as it was written',
  ],
  ["delete from waking where ref = 'QUAY-2'", 'seals: waking: 1 rows stand there, 2 were written'],
  [
    "update person_settings set zone = 'Lantern/Quay' where zone is not null",
    'settings of people: slack:T1:U2: there is no such time zone',
  ],
  ["update person_settings set quiet_from = 'late' where zone is not null", 'settings of people: slack:T1:U2: the quiet hours'],
  [
    'update person_settings set reminders = 0 where zone is not null',
    'settings of people: slack:T1:U2: it is not as it was written',
  ],
  ["update people set grade = 'registrar' where name = 'Alder'", 'people: slack:T1:U2: it is not as it was written'],
  ["update drafts set ref = 'MOOR-1' where id = 'd1'", 'drafts: 1: no such consult'],
  ["update drafts set person = 'slack:T1:U9' where id = 'd1'", 'drafts: 1: it is not from the person'],
  ["update drafts set place = replace(place, '\"T1\"', '\"T9\"') where id = 'd1'", 'drafts: 1: it is not from the person'],
  ["update drafts set at = '2026-04-02T18:00:00.000Z' where id = 'd1'", 'drafts: 1: it is not from the person'],
  ["update drafts set state = 'cancelled' where id = 'd1'", 'drafts: 1: its state'],
  ["update drafts set text = null where id = 'd2'", 'drafts: 2: its state'],
  ["update drafts set text = 'LE AL 24.60' where id = 'd2'", 'drafts: 2: it is not as it was written'],
  ["update drafts set plan = BYTES(00) where id = 'd2'", 'drafts: 2: its plan cannot be read'],
  ["update drafts set blocked_by = 'no' where id = 'd2'", 'drafts: 2: its state'],
  ["update inbox set payload = null where key = 'waiting'", 'inbox: 7: its state'],
  ["update inbox set payload = 'no JSON' where key = 'waiting'", 'inbox: 7: its state'],
  [
    "update inbox set payload = replace(payload, 'handled', 'seen') where key = 'waiting'",
    'inbox: 7: it is not as it was written',
  ],
  ["update inbox set state = 'waiting' where key = 'marsh'", 'inbox: 2: its state'],
  ["update inbox set due = null where key = 'waiting'", 'inbox: 7: its state'],
  ["update inbox set attempts = 3 where key = 'waiting'", 'inbox: 7: its number of tries'],
  ["update inbox set error_ref = 'E-1' where key = 'waiting'", 'inbox: 7: its number of tries'],
  ["update inbox set at = 'yesterday' where key = 'waiting'", 'inbox: 7: its state'],
  ["update inbox set channel = 'slack T1 C9' where key = 'waiting'", 'inbox: 7: it is kept for another channel'],
  ["update outbox set ref = 'MOOR-1' where ref = 'QUAY-2'", 'outbox: 2: it is the card of a consult that was not asked'],
  [
    "update outbox set payload = replace(payload, '\"C1\"', '\"C9\"') where ref = 'QUAY-2'",
    'outbox: 2: it goes to another place',
  ],
  ["update outbox set channel = 'T1 C9' where ref = 'QUAY-2'", 'outbox: 2: its lane'],
  ["update outbox set platform = 'teams' where ref = 'QUAY-2'", 'outbox: 2: its lane'],
  ["update outbox set part = 1 where ref = 'QUAY-2'", 'outbox: 2: the first message'],
  ["update outbox set posted = 7 where ref = 'QUAY-2'", 'outbox: 2: its kind'],
  ["update outbox set mark = '' where ref = 'QUAY-2'", 'outbox: 2: its kind'],
  ["update outbox set message = '1.2' where ref = 'QUAY-2'", 'outbox: 2: it is not as it was written'],
  ["delete from outbox where ref = 'QUAY-2'", 'seals: outbox: 2 rows stand there, 3 were written'],
  [
    "update conversations set service_url = 'http://elsewhere.invalid/' where id = '19:c'",
    'conversations: tenant 19:c: its address',
  ],
  ["update audiences set members_of = 'C2' where channel = 'C1'", 'rooms: slack T1 C1: it is not as it was written'],
  ['update people set seal = null', 'people: slack:T1:U2: it was not put in by this program'],
  ["update seals set sum = '1'", 'seals: the sums are not as they were sealed'],
  ['delete from seals', 'seals: the row of seals is gone'],
]

const ONLY_IN_SQLITE: readonly (readonly [statement: string, named: string])[] = [
  ['delete from search where rowid = 2', 'search index: QUAY-2 is not found by some of its words'],
  ["insert into search (rowid, asked, talk) values (99, 'staphyloma', '')", 'search index: an unknown consult'],
  ["update search_data set block = x'00' where id = (select max(id) from search_data)", 'search index: '],
  ["update search_data set block = x'0102' where id = 1", 'search index: '],
  ["update search_docsize set sz = x'0101' where id = 1", 'search index: the length of text 1'],
  ['delete from search_docsize where id = 1', 'search index: the length of text 1'],
  ['update search_idx set pgno = pgno + 2 where segid = (select min(segid) from search_idx)', 'file: '],
  ["insert into search_config values ('rank', 'bm25(0.0, 0.0)')", 'search index: '],
  ["update sqlite_sequence set seq = 1 where name = 'inbox'", 'counters: inbox: the counter'],
  ["insert into sqlite_sequence values ('inbox', 1)", 'counters: inbox: '],
]

const ONLY_IN_POSTGRES: readonly (readonly [statement: string, named: string])[] = [
  ['delete from search where consult = 2', 'search index: QUAY-2 is not found by any words'],
  ["update search set words = 'staphyloma' where consult = 2", 'search index: QUAY-2 is not found by its words'],
  ["update search set workspace = 'T9' where consult = 2", 'search index: QUAY-2 is found from another workspace'],
  ["insert into search values (99, 'slack', 'T1', 'staphyloma')", 'search index: an unknown consult'],
]

function verifying(name: string, open: (secret?: string) => Promise<VerifyBench>, own: typeof CHANGES): void {
  describe(`soundings verify on ${name}`, () => {
    let bench: VerifyBench
    let keyed: VerifyBench
    beforeAll(async () => {
      bench = await open()
      keyed = await open(KEY)
    })
    afterAll(async () => {
      await bench.close()
      await keyed.close()
    })

    const planOf = async (position: number): Promise<string> => {
      return (JSON.parse(await kept(`select body as bytes from events where position = ${position}`)) as { planHash: string })
        .planHash
    }
    const kept = async (query: string): Promise<string> => {
      const [row] = await bench.ask(query)
      return unpackText(row?.['bytes'] as Uint8Array)
    }
    const exchanged = async (query: string, from: string, to: string): Promise<Uint8Array> => {
      const before = await kept(query)
      if (!before.includes(from)) throw new Error(`${from} does not stand in ${before}`)
      return packText(before.replace(from, to))
    }
    const changeBy =
      (statement: string): Change =>
      async (ask) => {
        const inBytes = async (kind: string, inside: string): Promise<Uint8Array | string> => {
          const [number = '', from = '', to = ''] = inside.split('; ')
          if (kind === 'PLAN') return planOf(Number(number))
          if (kind === 'PACKED') return packText(inside)
          if (kind === 'BODY') return exchanged(`select body as bytes from events where position = ${number}`, from, to)
          if (kind === 'FACTS') return exchanged(`select row as bytes from facts where consult = ${number}`, from, to)
          return inside
        }
        let asked = statement.replace('OVERRIDING', bench.overriding)
        for (const [whole, kind = '', inside = ''] of statement.matchAll(/\b(PLAN|PACKED|BODY|FACTS|BYTES)\(([^)]*)\)/g)) {
          const bytes = await inBytes(kind, inside)
          asked = asked.replace(whole, bench.bytes(typeof bytes === 'string' ? bytes : Buffer.from(bytes).toString('hex')))
        }
        await ask(asked)
      }

    it('says of a whole trail what it holds, with a head and a checkpoint to note elsewhere', async () => {
      const { code, out, err, head, checkpoint } = await bench.verifyAfter(async () => {})
      expect(err).toBe('')
      expect(code).toBe(0)
      expect(out).toContain('5 events, 3 consults, 3 plans (1 erased), 8 texts (2 erased)')
      expect(head).toMatch(/^[0-9a-f]{64}$/)
      expect(checkpoint).toMatch(new RegExp(`^5-${head}\\.4-[0-9a-f]{64}\\.2-[0-9a-f]{64}\\.\\d+$`))
    })

    it('changes nothing', async () => {
      const rows = () => bench.ask('select (select count(*) from events) as events, (select state from seals) as state')
      const before = await rows()
      await bench.verifyAfter(async () => {})
      expect(await rows()).toEqual(before)
    })

    it('names an event whose body was exchanged together with its hash for something that is none', async () => {
      const [row] = await bench.ask('select previous from events where position = 5')
      const previous = Buffer.from(row?.['previous'] as Uint8Array).toString('hex')
      const hash = sha256(canonicalJson([5, 'HEATH-4', 1, previous, 'no event']))
      const change = changeBy(`update events set body = PACKED(no event), hash = BYTES(${hash}) where position = 5`)
      expect(await bench.verifyAfter(change)).toMatchObject({
        code: 1,
        err: expect.stringContaining('Event 5: it cannot be read'),
      })
    })

    describe('one row changed by hand', () => {
      it.each([...CHANGES, ...own])('is found out: %s', async (statement, named) => {
        const { code, err } = await bench.verifyAfter(changeBy(statement))
        expect(err).toContain(named)
        expect(code).toBe(1)
      })
    })

    describe('a log cut at its end', () => {
      const LAST = {
        events: [
          'delete from events where position = 5',
          "delete from facts where consult = (select number from consults where ref = 'HEATH-4')",
          "delete from consults where ref = 'HEATH-4'",
        ],
        accesses: ['delete from accesses where number = 2'],
        record_acts: ['delete from record_acts where number = 4'],
      } as const
      const cut =
        (log: keyof typeof LAST): Change =>
        async (ask) => {
          for (const statement of LAST[log]) await ask(statement)
        }

      it.each([
        ['events', 'the events end at number 4, 5 were written'],
        ['accesses', 'the accesses end at number 1, 2 were written'],
        ['record_acts', 'the acts on the records end at number 3, 4 were written'],
      ] as const)('is missed by the seals: %s', async (log, words) => {
        expect(await bench.verifyAfter(cut(log))).toMatchObject({ code: 1, err: expect.stringContaining(`seals: ${words}`) })
      })

      it.each([
        ['events', 'the events end at number 4, 5 were noted'],
        ['accesses', 'the accesses end at number 1, 2 were noted'],
        ['record_acts', 'the acts on the records end at number 3, 4 were noted'],
      ] as const)('is missed by a checkpoint that was noted before, whatever the seals say: %s', async (log, words) => {
        const { checkpoint } = await bench.verifyAfter(async () => {})
        const { code, err } = await bench.verifyAfter(cut(log), { checkpoint })
        expect(err).toContain(`MISSING: ${words}`)
        expect(code).toBe(1)
      })

      it('and an earlier head is found in a trail that has grown, and missed in one that was cut', async () => {
        const { head, checkpoint } = await bench.verifyAfter(async () => {})
        const shorter = await bench.verifyAfter(cut('events'), { checkpoint: head })
        expect(shorter).toMatchObject({ code: 1, err: expect.stringContaining(`MISSING: no event has the hash ${head}`) })
        const grown = await bench.verifyAfter(async () => {}, { checkpoint: shorter.head.toUpperCase() })
        expect(grown).toMatchObject({ code: 0, out: expect.stringContaining('checkpoint found at event 4') })
        expect(await bench.verifyAfter(async () => {}, { checkpoint })).toMatchObject({
          code: 0,
          out: expect.stringContaining('checkpoint found at event 5'),
        })
      })
    })

    it('misses what a checkpoint says of a log that was written anew, and of older tables that were put back', async () => {
      const { checkpoint } = await bench.verifyAfter(async () => {})
      const otherwise = checkpoint.replace(/\.2-./, (start) => (start === '.2-0' ? '.2-1' : '.2-0'))
      expect(await bench.verifyAfter(async () => {}, { checkpoint: otherwise })).toMatchObject({
        code: 1,
        err: expect.stringContaining('the accesses up to number 2 are not those that were noted'),
      })
      const later = checkpoint.replace(/\d+$/, (changes) => String(Number(changes) + 1))
      expect(await bench.verifyAfter(async () => {}, { checkpoint: later })).toMatchObject({
        code: 1,
        err: expect.stringContaining('an older copy of the other tables was put back'),
      })
    })

    it('says what a checkpoint looks like', async () => {
      expect(await bench.verifyAfter(async () => {}, { checkpoint: 'abc' })).toMatchObject({
        code: 2,
        err: expect.stringContaining('64 hexadecimal'),
      })
    })

    it('needs the key that a trail is sealed with, and says which setting it is', async () => {
      expect(await keyed.verifyAfter(async () => {})).toMatchObject({ code: 0, err: '' })
      expect(await keyed.verifyAfter(async () => {}, { secret: `${KEY}, another` })).toMatchObject({
        code: 1,
        err: expect.stringContaining('set SOUNDINGS_SEAL_KEY to the one it was sealed with'),
      })
      expect(await bench.verifyAfter(async () => {}, { secret: KEY })).toMatchObject({
        code: 1,
        err: expect.stringContaining('The trail is sealed without a key'),
      })
      // Whoever takes the key's mark away does not make the trail one without a key.
      expect(await keyed.verifyAfter((ask) => ask("update seals set kind = 'salt'"))).toMatchObject({ code: 1 })
    })
  })
}

verifying('SQLite', sqliteBench, ONLY_IN_SQLITE)

describe.runIf(postgresIsThere())('PostgreSQL', () => {
  let server: TestPostgres
  beforeAll(async () => {
    server = await startPostgres()
  })
  afterAll(() => server.stop())
  verifying('PostgreSQL', (secret) => postgresBench(server, secret), ONLY_IN_POSTGRES)
})
