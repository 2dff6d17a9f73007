import { copyFileSync, mkdirSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { PassThrough, Writable } from 'node:stream'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type ExportOptions, exportCommand } from '../../adapters/export-command.js'
import { importCommand } from '../../adapters/import-command.js'
import type { Database } from '../../adapters/store/database.js'
import { openReading } from '../../adapters/store/open.js'
import { openPostgresDatabase } from '../../adapters/store/postgres/open.js'
import { openSqliteDatabase } from '../../adapters/store/sqlite/open.js'
import { openForChecking } from '../../adapters/trail-tables.js'
import type { ConsultEvent } from '../../src/consult/events.js'
import { queryOf } from '../../src/trail/find.js'
import type { TrailReading } from '../../src/trail/trail-store.js'
import { at, RETINA } from '../consult/invented-people.js'
import { askedAs } from '../contracts/store-contract-cases.js'
import { postgresIsThere, startPostgres, type TestPostgres } from '../tools/postgres.js'
import { trailInMemory } from '../trail/trail-in-memory.js'
import { changeByHand, trailFolder, writeTrail } from './a-trail-file.js'
import { verified as verifiedBy } from './verify-bench.js'

const files = trailFolder()
afterAll(files.clear)

const terminal = () => {
  const said = { out: '', err: '' }
  return {
    said,
    out: (text: string) => {
      said.out += text
    },
    err: (text: string) => {
      said.err += text
    },
  }
}

async function exported(url: string, options: ExportOptions) {
  const { trail, close } = await openReading(url)
  const { said, err } = terminal()
  const stdout = new PassThrough()
  const chunks: Buffer[] = []
  stdout.on('data', (chunk: Buffer) => chunks.push(chunk))
  try {
    const code = await exportCommand(trail, options, { err }, stdout, '0.1.0')
    return { code, err: said.err, text: Buffer.concat(chunks).toString('utf8') }
  } finally {
    await close()
  }
}

const opened = (url: string): Database | Promise<Database> =>
  url.startsWith('sqlite:') ? openSqliteDatabase(url.slice('sqlite:'.length)) : openPostgresDatabase(url)

async function importInto(url: string, file: string) {
  const database = await opened(url)
  const { said, ...saying } = terminal()
  const code = await importCommand(file, database, saying)
  await database.close()
  return { code, ...said }
}

async function verified(url: string) {
  const checking = await openForChecking(url)
  return verifiedBy(checking, {}).finally(checking.close)
}

const linesOf = async (url: string, change: (text: string) => string = (text) => text): Promise<string> => {
  const file = `${files.freshPath()}.jsonl`
  mkdirSync(dirname(file), { recursive: true })
  writeFileSync(file, change((await exported(url, { form: 'lines' })).text))
  return file
}

const path = files.freshPath()
const whole = `sqlite:${path}`
beforeAll(() => writeTrail(whole))
const linesFile = (change?: (text: string) => string) => linesOf(whole, change)

let server: TestPostgres | undefined
beforeAll(async () => {
  if (postgresIsThere()) server = await startPostgres()
})
afterAll(() => server?.stop())
const inSqlite = async (): Promise<string> => `sqlite:${files.freshPath()}`
const inPostgres = async (): Promise<string> => (await server?.freshSchema()) ?? ''
const DATABASES: readonly (readonly [name: string, fresh: () => Promise<string>])[] = [
  ['SQLite', inSqlite],
  ...(postgresIsThere() ? [['PostgreSQL', inPostgres] as const] : []),
]

describe('soundings export', () => {
  it('writes what it was asked for to standard output', async () => {
    expect((await exported(whole, { form: 'csv' })).text.split('\r\n')).toHaveLength(1 + 3 + 1)
    expect((await exported(whole, { form: 'csv', ref: 'quay-2' })).text.split('\r\n')).toHaveLength(1 + 1 + 1)
    expect((await exported(whole, { form: 'csv', from: '2026-03-05', to: '2026-03-05' })).text).toContain('QUAY-2')
    expect(JSON.parse((await exported(whole, { form: 'fhir' })).text)).toMatchObject({ resourceType: 'Bundle' })
  })

  it('says how a day and a reference are written, and refuses what does not exist', async () => {
    expect(await exported(whole, { form: 'csv', from: '2026-02-30' })).toMatchObject({
      code: 2,
      text: '',
      err: expect.stringContaining('--from'),
    })
    expect(await exported(whole, { form: 'csv', to: 'May' })).toMatchObject({
      code: 2,
      err: expect.stringContaining('2026-03-31'),
    })
    expect(await exported(whole, { form: 'csv', from: '2026-03-05', to: '2026-03-04' })).toMatchObject({ code: 2 })
    expect(await exported(whole, { form: 'csv', ref: 'MOOR-1' })).toMatchObject({
      code: 2,
      err: expect.stringContaining('no consult MOOR-1'),
    })
  })

  it('writes a file that only its owner reads, and never over another one', async () => {
    const out = join(files.folder, 'trail.csv')
    expect(await exported(whole, { form: 'csv', out })).toMatchObject({ code: 0, text: '' })
    expect(statSync(out).mode & 0o777).toBe(0o600)
    const before = readFileSync(out, 'utf8')
    expect(await exported(whole, { form: 'lines', out })).toMatchObject({
      code: 2,
      err: expect.stringContaining('exists already'),
    })
    expect(readFileSync(out, 'utf8')).toBe(before)
  })

  it('says what to do where a folder is not there, or an export was cut short', async () => {
    const [nowhere, cut] = [join(files.folder, 'nowhere', 'trail.csv'), join(files.folder, 'cut.csv')]
    const noFolder = await exported(whole, { form: 'csv', out: nowhere })
    expect([noFolder.code, noFolder.err]).toEqual([2, expect.stringContaining(`there is no folder ${dirname(nowhere)}`)])
    writeFileSync(`${cut}.unfinished`, '')
    const unfinished = await exported(whole, { form: 'csv', out: cut })
    expect([unfinished.code, unfinished.err]).toEqual([2, expect.stringContaining('If none runs, remove it')])
  })

  it('leaves no half file behind when the trail is broken', async () => {
    const broken = files.freshPath()
    mkdirSync(dirname(broken), { recursive: true })
    copyFileSync(path, broken)
    changeByHand(broken, ["delete from texts where text = packed('flat on B-scan')"])
    const out = join(files.folder, 'broken.jsonl')
    await expect(exported(`sqlite:${broken}`, { form: 'lines', out })).rejects.toThrow('Event 4 (MARSH-7): a text of it is gone')
    expect(() => statSync(out)).toThrow()
    expect(() => statSync(`${out}.unfinished`)).toThrow()
  })

  it('waits for a reader that is slow', async () => {
    const comments = Array.from({ length: 400 }, (_, index): ConsultEvent => {
      return { type: 'comment-made', by: RETINA, at: at(4), ref: 'MARSH-7', text: `number ${index}` }
    })
    const { plan, event } = askedAs('MARSH-7', 'Chop?')
    const { trail } = trailInMemory([event, ...comments], [plan.plan])
    let read = 0
    let furthestAhead = 0
    async function* counted() {
      let given = 0
      for await (const link of trail.links()) {
        given += 1
        furthestAhead = Math.max(furthestAhead, given - read)
        yield link
      }
    }
    const slow = new Writable({
      highWaterMark: 1,
      write(_chunk, _encoding, done) {
        read += 1
        setImmediate(done)
      },
    })
    const reading: TrailReading = { ...trail, links: counted, find: async () => [], newest: async () => [] }
    await exportCommand(reading, { form: 'lines' }, terminal(), slow, '0.1.0')
    expect(read).toBe(1 + 401 + 1)
    // Some lines lie in the buffers between, never the trail.
    expect(furthestAhead).toBeLessThan(40)
  })
})

describe.each(DATABASES)('soundings import into %s', (_name, fresh) => {
  it('gives the identical trail: the same head, the same bytes when exported again, all tables in order', async () => {
    const file = await linesFile()
    const url = await fresh()
    const { code, out } = await importInto(url, file)
    expect(code).toBe(0)
    const [before, after] = [await verified(whole), await verified(url)]
    expect(out).toContain(`5 events imported\nhead ${before.head}`)
    expect(after).toMatchObject({ code: 0, err: '', head: before.head })
    expect((await exported(url, { form: 'lines' })).text).toBe(readFileSync(file, 'utf8'))
    expect((await exported(url, { form: 'csv' })).text).toBe((await exported(whole, { form: 'csv' })).text)
  })

  it('makes what was imported findable, and looks anew for reminders', async () => {
    const url = await fresh()
    await importInto(url, await linesFile())
    const { trail, close } = await openReading(url)
    const query = queryOf('staphyloma chop')
    expect(query && (await trail.find(query, 'everything', 5)).map(({ ref }) => ref)).toEqual(['MARSH-7'])
    await close()
    const database = await opened(url)
    expect(await database.db.selectFrom('waking').select('ref').orderBy('ref').execute()).toHaveLength(3)
    await database.close()
  })

  it('refuses a trail that is not empty', async () => {
    const url = await fresh()
    const file = await linesFile()
    await importInto(url, file)
    expect(await importInto(url, file)).toMatchObject({ code: 2, err: expect.stringContaining('not empty') })
  })

  it.each<readonly [string, (text: string) => string, string]>([
    ['an altered line', (text) => text.replace('flat on B-scan', 'flat on B-scan!'), 'line 5: a text is not the one'],
    ['a cut file', (text) => text.slice(0, -100), 'it is not JSON'],
    ['a newer form', (text) => text.replace('"formVersion":2', '"formVersion":3'), 'line 1: the lines have form 3'],
    ['an empty file', () => '', 'line 1: the end is missing'],
  ])('refuses %s, names the line, and imports nothing', async (_what, change, words) => {
    const url = await fresh()
    const { code, err } = await importInto(url, await linesFile(change))
    expect(code).toBe(2)
    expect(err).toContain(words)
    const database = await opened(url)
    for (const table of ['events', 'texts', 'plans', 'plan_pieces', 'record_acts', 'consults'] as const) {
      expect(await database.db.selectFrom(table).selectAll().execute(), table).toEqual([])
    }
    await database.close()
  })

  it('says when there is no such file', async () => {
    const { code, err } = await importInto(await fresh(), join(files.folder, 'nowhere.jsonl'))
    expect({ code, err }).toMatchObject({ code: 2, err: expect.stringContaining('nowhere.jsonl') })
  })
})

describe.runIf(postgresIsThere())('a trail that changes its database', () => {
  it('is the same to the byte after a way from SQLite to PostgreSQL and back, in lines and in CSV; FHIR holds the same entries', async () => {
    const [there, back] = [await inPostgres(), await inSqlite()]
    await importInto(there, await linesFile())
    await importInto(back, await linesOf(there))
    const lines = (await exported(whole, { form: 'lines' })).text
    const csv = (await exported(whole, { form: 'csv' })).text
    for (const url of [there, back]) {
      expect((await exported(url, { form: 'lines' })).text).toBe(lines)
      expect((await exported(url, { form: 'csv' })).text).toBe(csv)
    }
    const resources = async (url: string) => {
      const bundle = JSON.parse((await exported(url, { form: 'fhir' })).text) as {
        entry: { resource: { resourceType: string } }[]
      }
      return bundle.entry.map(({ resource }) => resource.resourceType)
    }
    expect(await resources(there)).toEqual(await resources(whole))
  })
})
