import { copyFileSync, mkdirSync } from 'node:fs'
import { dirname } from 'node:path'
import Sqlite from 'better-sqlite3'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openForChecking } from '../../adapters/trail-tables.js'
import { verifyCommand } from '../../adapters/verify-command.js'
import { canonicalJson, sha256 } from '../../src/trail/chain.js'
import { changeByHand, trailFolder, writeTrail } from './a-trail-file.js'

const files = trailFolder()
afterAll(files.clear)

const whole = files.freshPath()
beforeAll(() => writeTrail(whole))

async function verify(path: string, options: { readonly checkpoint?: string } = {}) {
  const said = { out: '', err: '' }
  const opened = openForChecking(path)
  const code = await verifyCommand(opened, options, {
    out: (text) => {
      said.out += text
    },
    err: (text) => {
      said.err += text
    },
  })
  await opened.close()
  return { code, ...said, head: /head ([0-9a-f]{64})/.exec(said.out)?.[1] ?? '' }
}

/** A copy of the whole trail with rows changed by hand. */
function altered(...statements: readonly string[]): string {
  const path = files.freshPath()
  mkdirSync(dirname(path), { recursive: true })
  copyFileSync(whole, path)
  changeByHand(path, statements)
  return path
}

describe('soundings verify', () => {
  it('says of a whole trail what it holds, and a head to note elsewhere', async () => {
    const { code, out, err, head } = await verify(whole)
    expect(err).toBe('')
    expect(code).toBe(0)
    expect(out).toContain('5 events, 3 consults, 3 plans (1 erased), 8 texts (2 erased)')
    expect(head).toMatch(/^[0-9a-f]{64}$/)
  })

  it('changes nothing in the file', async () => {
    const path = altered("update inbox set key = 'same' where key = 'waiting'")
    const before = new Sqlite(path, { readonly: true })
    const count = before.prepare('select total_changes()').pluck().get()
    before.close()
    await verify(path)
    expect(count).toBe(0)
    const after = new Sqlite(path, { readonly: true })
    expect(after.prepare('select count(*) from events').pluck().get()).toBe(5)
    after.close()
  })

  it('finds an earlier head in a trail that has grown, and misses it in one that was cut', async () => {
    const { head } = await verify(whole)
    const shorter = altered('delete from events where position = 5', "delete from consults where ref = 'HEATH-4'")
    const cut = await verify(shorter, { checkpoint: head })
    expect(cut).toMatchObject({ code: 1, err: expect.stringContaining(`MISSING: no event has the hash ${head}`) })
    const again = await verify(whole, { checkpoint: cut.head.toUpperCase() })
    expect(again).toMatchObject({ code: 0, out: expect.stringContaining('checkpoint found at event 4') })
  })

  it('says what a checkpoint looks like', async () => {
    expect(await verify(whole, { checkpoint: 'abc' })).toMatchObject({ code: 2, err: expect.stringContaining('64 hexadecimal') })
  })

  it('names an event whose body was exchanged together with its hash for something that is none', async () => {
    const file = new Sqlite(whole, { readonly: true })
    const previous = String(file.prepare('select previous from events where position = 5').pluck().get())
    file.close()
    const hash = sha256(canonicalJson([5, 'HEATH-4', 1, previous, 'no event']))
    const path = altered(`update events set body = 'no event', hash = '${hash}' where position = 5`)
    expect(await verify(path)).toMatchObject({ code: 1, err: expect.stringContaining('Event 5: it cannot be read') })
  })
})

/** One row of one table changed at a time, with the words that must name it. */
const CHANGES: readonly (readonly [table: string, statement: string, named: string])[] = [
  ['events', "update events set body = replace(body, 'Wren', 'Lark') where position = 2", 'Event 2 (QUAY-2)'],
  ['events', 'update events set hash = previous where position = 2', 'Event 2 (QUAY-2)'],
  ['events', 'update events set previous = hash where position = 3', 'Event 3 (MARSH-7)'],
  ['events', "update events set ref = 'MOOR-1' where position = 2", 'Event 2 (MOOR-1)'],
  ['events', 'update events set version = 9 where position = 3', 'Event 3 (MARSH-7)'],
  ['events', 'update events set position = 9 where position = 3', 'Event 3 (MARSH-7)'],
  ['events', 'delete from events where position = 1', 'Event 1 (QUAY-2): it is missing'],
  ['texts', "update texts set text = 'flat on B-scan!' where text = 'flat on B-scan'", 'Event 4 (MARSH-7): a text'],
  ['texts', "update texts set salt = salt || 'x' where text = 'flat on B-scan'", 'Event 4 (MARSH-7): a text'],
  ['texts', "update texts set commitment = 'x' where text = 'flat on B-scan'", 'Event 4 (MARSH-7): a text'],
  ['texts', "delete from texts where text = 'flat on B-scan'", 'Event 4 (MARSH-7): a text'],
  ['texts', "insert into texts values ('x', 'salt', 'put in')", 'texts: x… is named by no event'],
  [
    'plans',
    "update plans set body = x'00' where hash = (select json_extract(body, '$.planHash') from events where position = 2)",
    'Event 2 (QUAY-2): the plan',
  ],
  [
    'plans',
    "update plans set hash = 'x' where hash = (select json_extract(body, '$.planHash') from events where position = 2)",
    'Event 2 (QUAY-2): the plan',
  ],
  [
    'plans',
    "delete from plans where hash = (select json_extract(body, '$.planHash') from events where position = 5)",
    'Event 5 (HEATH-4): the plan',
  ],
  ['plans', "insert into plans values ('abc', x'00')", 'plans: abc… is named by no event'],
  [
    'plan_pieces',
    "update plan_pieces set text = replace(text, 'Lower the bottle', 'Raise the bottle') where text like '%Lower the bottle%'",
    'Event 1 (MARSH-7): the plan',
  ],
  ['plan_pieces', "delete from plan_pieces where text like '%Lower the bottle%'", 'Event 1 (MARSH-7): the plan'],
  ['consults', "update consults set ref = 'MOOR-1' where ref = 'QUAY-2'", 'list of consults: QUAY-2 is missing'],
  ['consults', "update consults set workspace = 'T2' where ref = 'QUAY-2'", 'list of consults: QUAY-2'],
  ['consults', "update consults set platform = 'web' where ref = 'QUAY-2'", 'list of consults: QUAY-2'],
  ['consults', "update consults set asked_at = '2020' where ref = 'QUAY-2'", 'list of consults: QUAY-2'],
  ['consults', "update consults set opinions = 5 where ref = 'QUAY-2'", 'list of consults: QUAY-2'],
  ['consults', "delete from consults where ref = 'QUAY-2'", 'list of consults: QUAY-2'],
  ['consults', "insert into consults values (99, 'MOOR-1', 'slack', 'T1', '2026', 0, 'asked')", 'list of consults: MOOR-1'],
  ['consults', "update consults set status = 'closed' where ref = 'QUAY-2'", 'list of consults: QUAY-2'],
  [
    'facts',
    "update facts set row = json_set(row, '$.numbers.axialLengthMm', 22) where consult = 2",
    'facts of consults: QUAY-2 is not',
  ],
  ['facts', 'delete from facts where consult = 2', 'facts of consults: QUAY-2 has none'],
  ['facts', "insert into facts values (99, '{}')", 'facts of consults: number 99'],
  ['texts', "update texts set text = null, salt = null where text = 'flat on B-scan'", 'erasures: texts: '],
  [
    'plans',
    "update plans set body = x'' where hash = (select json_extract(body, '$.planHash') from events where position = 2)",
    'erasures: plans: ',
  ],
  ['record_acts', 'delete from record_acts where number = 1', 'acts on the records: row 1 is missing'],
  ['record_acts', "update record_acts set because = 'x' where number = 2", 'acts on the records: row 2 is not as it was written'],
  ['record_acts', "update record_acts set subject = 'x' where number = 2", 'erasures: '],
  ['record_acts', "update record_acts set act = 'hold-lifted' where act = 'hold-set'", 'acts on the records: '],
  ['accesses', 'delete from accesses where number = 1', 'accesses: row 1 is missing'],
  ['accesses', "update accesses set by_name = 'Lark' where number = 2", 'accesses: row 2 is not as it was written'],
  ['accesses', 'update accesses set words = null where number = 1', 'accesses: row 1 is not as it was written'],
  ['waking', "update waking set ref = 'MOOR-1' where ref = 'QUAY-2'", 'reminders: MOOR-1: there is no such consult'],
  ['waking', "update waking set look_at = 'never' where ref = 'QUAY-2'", 'reminders: QUAY-2'],
  [
    'person_settings',
    "update person_settings set zone = 'Lantern/Quay'",
    'settings of people: slack:T1:U2: there is no such time zone',
  ],
  ['person_settings', "update person_settings set quiet_from = 'late'", 'settings of people: slack:T1:U2: the quiet hours'],
  ['search', 'delete from search where rowid = 2', 'search index: QUAY-2 is not found by some of its words'],
  ['search', "insert into search (rowid, asked, talk) values (99, 'staphyloma', '')", 'search index: an unknown consult'],
  ['search_data', "update search_data set block = x'00' where id = (select max(id) from search_data)", 'search index: '],
  ['search_data', "update search_data set block = x'0102' where id = 1", 'search index: '],
  ['search_docsize', "update search_docsize set sz = x'0101' where id = 1", 'search index: the length of text 1'],
  ['search_docsize', 'delete from search_docsize where id = 1', 'search index: the length of text 1'],
  ['search_idx', 'update search_idx set pgno = pgno + 2 where segid = (select min(segid) from search_idx)', 'file: '],
  ['search_config', "insert into search_config values ('rank', 'bm25(0.0, 0.0)')", 'search index: '],
  ['drafts', "update drafts set ref = 'MOOR-1' where id = 'd1'", 'drafts: d1: no such consult'],
  ['drafts', "update drafts set person = 'slack:T1:U9' where id = 'd1'", 'drafts: d1: it is not from the person'],
  [
    'drafts',
    "update drafts set place = json_set(place, '$.workspace', 'T9') where id = 'd1'",
    'drafts: d1: it is not from the person',
  ],
  ['drafts', "update drafts set at = '2026-04-02T18:00:00.000Z' where id = 'd1'", 'drafts: d1: it is not from the person'],
  ['drafts', "update drafts set state = 'cancelled' where id = 'd1'", 'drafts: d1: its state'],
  ['drafts', "update drafts set text = null where id = 'd2'", 'drafts: d2: its state'],
  ['drafts', "update drafts set plan = x'00' where id = 'd2'", 'drafts: d2: its plan cannot be read'],
  ['drafts', "update drafts set blocked_by = 'no' where id = 'd2'", 'drafts: d2: its state'],
  ['inbox', "update inbox set payload = null where key = 'waiting'", 'inbox: '],
  ['inbox', "update inbox set payload = 'no JSON' where key = 'waiting'", 'inbox: '],
  ['inbox', "update inbox set state = 'waiting' where key = 'marsh'", 'inbox: '],
  ['inbox', "update inbox set due = null where key = 'waiting'", 'inbox: '],
  ['inbox', "update inbox set attempts = 3 where key = 'waiting'", 'inbox: '],
  ['inbox', "update inbox set error_ref = 'E-1' where key = 'waiting'", 'inbox: '],
  ['inbox', "update inbox set at = 'yesterday' where key = 'waiting'", 'inbox: '],
  ['outbox', "update outbox set ref = 'MOOR-1' where ref = 'QUAY-2'", 'outbox: '],
  ['outbox', "update outbox set payload = json_set(payload, '$.place.channel', 'C9') where ref = 'QUAY-2'", 'outbox: '],
  ['outbox', "update outbox set channel = 'T1 C9' where ref = 'QUAY-2'", 'outbox: '],
  ['outbox', "update outbox set platform = 'teams' where ref = 'QUAY-2'", 'outbox: '],
  ['outbox', "update outbox set part = 1 where ref = 'QUAY-2'", 'outbox: '],
  ['outbox', "update outbox set posted = 7 where ref = 'QUAY-2'", 'outbox: '],
  ['outbox', "update outbox set mark = '' where ref = 'QUAY-2'", 'outbox: '],
  ['conversations', "update conversations set service_url = 'http://elsewhere.invalid/'", 'conversations: '],
  ['audiences', "update audiences set at = 'yesterday'", 'rooms: '],
  ['sqlite_sequence', "update sqlite_sequence set seq = 1 where name = 'inbox'", 'inbox: inbox: the counter'],
]

describe('one row changed by hand', () => {
  it.each(CHANGES)('in %s is found out: %s', async (_table, statement, named) => {
    const { code, err } = await verify(altered(statement))
    expect(err).toContain(named)
    expect(code).toBe(1)
  })

  it.each([
    ["update people set grade = 'registrar' where name = 'Alder'", 'people, worth a look: slack:T1:U2'],
    ["delete from outbox where ref = 'QUAY-2'", 'outbox, worth a look: 1 consults have no card'],
  ])('that may also have an honest reason is pointed out: %s', async (statement, named) => {
    const { code, out } = await verify(altered(statement))
    expect(out).toContain(named)
    expect(code).toBe(0)
  })

  it('is tried on every table of the file', () => {
    const file = new Sqlite(whole, { readonly: true })
    const tables = file.prepare("select name from sqlite_master where type = 'table'").pluck().all()
    file.close()
    const tried = new Set([...CHANGES.map(([table]) => table), 'people'])
    // The index keeps no content of its own: `search` holds the words, these its parts.
    expect(tables.filter((name) => !tried.has(String(name)))).toEqual([])
  })

  it('leaves a trace when it is a guard that was taken away', async () => {
    const path = altered("update inbox set key = 'same' where key = 'waiting'")
    const file = new Sqlite(path)
    file.exec('drop trigger events_are_never_changed')
    file.close()
    expect(await verify(path)).toMatchObject({
      code: 1,
      err: expect.stringContaining('guards: trigger events_are_never_changed is gone'),
    })
  })
})
