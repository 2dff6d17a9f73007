import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Sqlite from 'better-sqlite3'
import { afterAll, describe, expect, it } from 'vitest'
import { MIGRATIONS as POSTGRES } from '../../../adapters/store/postgres/migrations.js'
import { MIGRATIONS as SQLITE } from '../../../adapters/store/sqlite/migrations.js'
import { openSqliteStore } from '../../../adapters/store/sqlite/open.js'
import { sha256 } from '../../../src/trail/chain.js'
import { examineTrail } from '../../../src/trail/examine.js'
import { queryOf } from '../../../src/trail/find.js'
import { ASKER, at, CORNEA, PLACE } from '../../consult/invented-people.js'

const folder = mkdtempSync(join(tmpdir(), 'soundings-migrations-'))
afterAll(() => rmSync(folder, { recursive: true }))

const FIRST_ROWS = readFileSync(new URL('earlier-trail.sql', import.meta.url), 'utf8')
/** What each later version could hold besides. */
const ROWS_SINCE: Readonly<Record<number, string>> = {
  2: `insert into conversations values ('tenant', '19:channel', 'channel', 'https://one.example/');`,
  3: `insert into person_settings values ('slack:T1:U1', 'Europe/London', '20:00', '07:00', 0);
      update waking set look_at = '2026-03-09T18:00:00.000Z';
      update consults set status = 'decided';`,
}

/** A file as that version of the schema left it. */
function writtenBy(version: number): string {
  const path = join(folder, `version-${version}.db`)
  const file = new Sqlite(path)
  for (const [index, step] of SQLITE.slice(0, version).entries()) {
    file.exec(step)
    if (index === 0) file.exec(FIRST_ROWS)
    file.exec(ROWS_SINCE[index + 1] ?? '')
  }
  file.pragma(`user_version = ${version}`)
  file.close()
  return path
}

describe('a trail that an earlier version wrote', () => {
  it.each(SQLITE.map((_step, index) => index + 1))(
    'with schema %i is brought up to date and holds what it held',
    async (version) => {
      const store = await openSqliteStore(writtenBy(version), at(9))
      expect(await examineTrail(store.trail)).toMatchObject({ events: 2, consults: 1, plans: 1, texts: 3 })
      expect(await examineTrail(store.trail)).not.toHaveProperty('fault')
      const [asked, opinion] = await store.view.events('MARSH-7')
      expect(asked).toMatchObject({ type: 'consult-asked', question: 'Chop or manual?' })
      expect(opinion).toMatchObject({ opinion: { sentence: 'stain the capsule' } })
      const query = queryOf('staphyloma stain')
      expect(query && (await store.trail.find(query, 'everything', 5))).toMatchObject([{ ref: 'MARSH-7', opinions: 1 }])
      expect(await store.view.rowsOf(['MARSH-7'])).toMatchObject([{ ref: 'MARSH-7', opinions: 1, partOf: [ASKER.id, CORNEA.id] }])
      expect(await store.view.draft('d1')).toMatchObject({ text: 'LE AL 29.60' })
      expect(await store.view.person(ASKER.id)).toEqual(ASKER)
      expect((await store.inbox.next(at(9)))?.inbound).toMatchObject({ text: 'not handled yet' })
      expect(await store.view.consultInThread({ ...PLACE, thread: 'm1' })).toBe('MARSH-7')
      expect(await store.view.open('everything', 5)).toEqual(['MARSH-7'])
      if (version >= 2) expect(await store.conversations.get('tenant', '19:channel')).toMatchObject({ kind: 'channel' })
      if (version >= 3) expect(await store.view.settings(ASKER.id)).toMatchObject({ zone: 'Europe/London', reminders: false })
      expect(await store.reminding.nextDue()).toBe(version >= 3 ? '2026-03-09T18:00:00.000Z' : '2026-03-02T18:00:00.000Z')
      await store.close()
    },
  )

  it('has the same tables, columns and guards as one that is made now', async () => {
    const schema = (path: string) => {
      const file = new Sqlite(path, { readonly: true })
      const rows = file
        .prepare("select type, name, sql from sqlite_master where name not like 'sqlite_%' order by type, name")
        .all()
      file.close()
      return rows
    }
    const fresh = join(folder, 'fresh.db')
    await (await openSqliteStore(fresh, at(0))).close()
    for (const version of [1, 2, 3]) {
      const path = join(folder, `version-${version}.db`)
      expect(schema(path), String(version)).toEqual(schema(fresh))
    }
  })
})

describe('a step of the schema that was released', () => {
  // The last step of each list may still change until the next one follows it.
  it('is never changed: a new one follows it', () => {
    expect(SQLITE.slice(0, -1).map((step) => sha256(step).slice(0, 16))).toEqual(SQLITE_STEPS)
    expect(POSTGRES.slice(0, -1).map((step) => sha256(step).slice(0, 16))).toEqual(POSTGRES_STEPS)
  })
})

const SQLITE_STEPS = [
  '1dd71625ce46af38',
  'f7c0859bed38cf90',
  'e1037e24ba17e501',
  'd116fde3b14c387d',
  'd0bce8d00ef73a2a',
  '916d59425c68b2cf',
  'd92ac60d5476b124',
  'a6070cc76a3690df',
]
const POSTGRES_STEPS = [
  '22f90b69f0123c5f',
  '473121a7143ed4b9',
  '797be35b8a029f29',
  '3021efe9f7d9c681',
  '4b14a94dd3e1aa60',
  '9fc197c92ee9c1f3',
]
