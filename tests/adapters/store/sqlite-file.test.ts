import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { existsSync, mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'
import Sqlite from 'better-sqlite3'
import { sql } from 'kysely'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { eraseCommand } from '../../../adapters/retention-command.js'
import { openSqliteBeside, openSqliteReading, openSqliteStore } from '../../../adapters/store/sqlite/open.js'
import { packText } from '../../../adapters/store/text-packing.js'
import { NO_EFFECTS } from '../../../src/desk/store.js'
import { ERASED } from '../../../src/trail/chain.js'
import { queryOf } from '../../../src/trail/find.js'
import { verifyChain } from '../../../src/trail/verify.js'
import { ASKER, at, CORNEA, PLACE } from '../../consult/invented-people.js'
import { said } from '../../contracts/store-contract-cases.js'
import { type Program, putTogether } from '../../tools/program.js'
import { knowPacking } from '../a-trail-file.js'
import { ask } from './asking.js'

const folder = mkdtempSync(join(tmpdir(), 'soundings-file-'))
let files = 0
const freshPath = () => {
  files += 1
  return join(folder, `n${files}`, 'trail.db')
}
let program: Program
beforeAll(async () => {
  program = await putTogether('tests/adapters/store/writing-process.ts')
})
afterAll(() => program.remove())
const children: ChildProcess[] = []
afterEach(() => {
  for (const child of children.splice(0)) child.kill('SIGKILL')
})
afterAll(() => rmSync(folder, { recursive: true }))

/** Starts a process that writes, and gives each line it says. */
function writingProcess(path: string, ...options: string[]) {
  const root = fileURLToPath(new URL('../../..', import.meta.url))
  const child = spawn(process.execPath, [program.file, `sqlite:${path}`, ...options], {
    cwd: root,
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  children.push(child)
  return { child, lines: createInterface({ input: child.stdout }) }
}

describe('a trail in a file', () => {
  it('is readable by its owner only, with the files beside it', async () => {
    const path = freshPath()
    const store = await openSqliteStore(path, at(0))
    await ask(store, 'MARSH-7')
    for (const name of [path, `${path}-wal`, `${path}-shm`, `${path}.lock`]) {
      expect(statSync(name).mode & 0o777, name).toBe(0o600)
    }
    expect(statSync(join(path, '..')).mode & 0o777).toBe(0o700)
    await store.close()
  })

  it('is there after a restart', async () => {
    const path = freshPath()
    const before = await openSqliteStore(path, at(0))
    await ask(before, 'MARSH-7')
    await before.inbox.put({ key: 'waiting', inbound: said('not handled yet') }, at(1))
    await before.close()
    const after = await openSqliteStore(path, at(2))
    expect(await after.view.events('MARSH-7')).toHaveLength(1)
    expect((await after.inbox.next(at(2)))?.inbound).toMatchObject({ text: 'not handled yet' })
    await after.close()
  })

  it('is open in one place at a time', async () => {
    const path = freshPath()
    const store = await openSqliteStore(path, at(0))
    await expect(openSqliteStore(path, at(0))).rejects.toMatchObject({
      code: 'STORE.LOCKED',
      message: expect.stringContaining(path),
    })
    await store.close()
    await (await openSqliteStore(path, at(0))).close()
  })

  it('that a newer version wrote is refused, by writers and by readers', async () => {
    const path = freshPath()
    await (await openSqliteStore(path, at(0))).close()
    const file = new Sqlite(path)
    file.pragma('user_version = 99')
    file.close()
    await expect(openSqliteStore(path, at(0))).rejects.toMatchObject({ code: 'STORE.NEWER' })
    expect(() => openSqliteReading(path)).toThrow(expect.objectContaining({ code: 'STORE.OTHER-VERSION' }))
  })

  it('that does not exist is not made by a reader', () => {
    expect(() => openSqliteReading(freshPath())).toThrow(expect.objectContaining({ code: 'STORE.NO-FILE' }))
  })

  it.each([
    ['update events set body = body', 'never changed'],
    ['delete from events', 'never removed'],
    ["update texts set text = x'00'", 'only erased'],
    ['delete from texts', 'only erased'],
    ["update plans set hash = x'00'", 'never changed'],
    ['delete from plans', 'never removed'],
    ["update plan_pieces set text = 'x'", 'never changed'],
    ['delete from plan_pieces', 'never removed'],
  ])('refuses %j whoever asks', async (statement, words) => {
    const path = freshPath()
    const store = await openSqliteStore(path, at(0))
    await ask(store, 'MARSH-7')
    await store.close()
    const file = new Sqlite(path)
    expect(() => file.exec(statement)).toThrow(words)
    file.close()
  })

  it('lets a text be erased, and is whole afterwards', async () => {
    const path = freshPath()
    const store = await openSqliteStore(path, at(0))
    await ask(store, 'MARSH-7', 'a sentence that must go')
    await store.close()
    const file = new Sqlite(path)
    knowPacking(file)
    file.exec("update texts set text = null, salt = null where text = packed('a sentence that must go')")
    file.close()
    const { trail, close } = openSqliteReading(path)
    expect(await trail.events('MARSH-7')).toMatchObject([{ question: ERASED }])
    expect(await verifyChain(trail.links(), trail.keptText)).toMatchObject({ intact: true, events: 1 })
    await close()
  })
})

describe('two processes', () => {
  it('do not write one trail; the other one may read it', async () => {
    const path = freshPath()
    const { child, lines } = writingProcess(path, '--write')
    for await (const line of lines) if (line === 'done 3') break
    await expect(openSqliteStore(path, at(0))).rejects.toMatchObject({ code: 'STORE.LOCKED' })
    const { trail, close } = openSqliteReading(path)
    const query = queryOf('MARSH-2')
    expect(query && (await trail.find(query, 'everything', 5)).map(({ ref }) => ref)).toEqual(['MARSH-2'])
    expect(await verifyChain(trail.links(), trail.keptText)).toMatchObject({ intact: true })
    await close()
    child.kill('SIGKILL')
  })

  it('killed in the middle of writing, a process leaves all that it accepted, and no lock', async () => {
    const path = freshPath()
    const { child, lines } = writingProcess(path, '--write')
    const told: string[] = []
    for await (const line of lines) {
      told.push(line)
      if (line === 'accepted 40') child.kill('SIGKILL')
    }
    if (child.exitCode === null && child.signalCode === null) await once(child, 'exit')

    const store = await openSqliteStore(path, at(2))
    expect(await verifyChain(store.trail.links(), store.trail.keptText)).toMatchObject({ intact: true })
    expect(told).toContain('accepted 40')
    for (const line of told) {
      const [what, number] = line.split(' ')
      if (what === 'accepted') {
        const again = await store.inbox.put({ key: `delivery ${number}`, inbound: said('again') }, at(3))
        expect(again, line).toBe('duplicate')
      }
      if (what === 'done') {
        const [event] = await store.view.events(`MARSH-${number}`)
        expect(event, line).toMatchObject({ type: 'consult-asked' })
        expect(event?.type === 'consult-asked' && (await store.view.plan(event.planHash)), line).toBeTruthy()
      }
    }
    await store.close()
  })
})

describe('a process that ended while it was sending', () => {
  it('takes the post for possibly made, and looks for it before anything else', async () => {
    const path = freshPath()
    const before = await openSqliteStore(path, at(0))
    await before.inbox.put({ key: 'k', inbound: said('x') }, at(0))
    const card = { title: '', summary: '', first: [], sections: [], choices: [], typing: '', footer: '' }
    const waiting = await before.inbox.next(at(1))
    await before.inbox.commit(
      waiting?.seq ?? 0,
      {
        ...NO_EFFECTS,
        outbound: [
          { kind: 'consult-card', ref: 'MARSH-7', place: PLACE, tell: { to: CORNEA, place: PLACE, reply: {} } },
          { kind: 'answer', to: ASKER, place: PLACE, reply: {}, card },
        ],
      },
      at(1),
    )
    const lane = { platform: 'slack', heldChannels: [] } as const
    for (const kind of ['part', 'answer'] as const) {
      await before.outbox.begin((await before.outbox.next(at(1), { ...lane, kind }))?.seq ?? 0, at(1))
    }
    await before.close()

    const after = await openSqliteStore(path, at(2))
    expect(await after.outbox.next(at(2), { ...lane, kind: 'part' })).toMatchObject({ step: 'look', startedAt: at(1) })
    expect(await after.outbox.next(at(2), { ...lane, kind: 'answer' })).toBeUndefined()
    expect(await after.standing()).toMatchObject({ outboxUnknown: 2 })
    await after.close()
  })
})

describe('a text that was erased', () => {
  it('is in no byte of the file any more, nor of the files beside it, while the server has it open', async () => {
    const path = freshPath()
    const store = await openSqliteStore(path, at(0))
    const question = 'Quillfeather asks about the capsule'
    await ask(store, 'MARSH-7', question)
    const bytes = () =>
      [path, `${path}-wal`]
        .filter(existsSync)
        .map((name) => readFileSync(name, 'latin1'))
        .join('')
    const file = new Sqlite(path, { readonly: true })
    const kept = [packText(question), file.prepare('select body from plans').pluck().get() as Buffer].map((packed) =>
      Buffer.from(packed).toString('latin1'),
    )
    file.close()
    for (const packed of kept) expect(bytes()).toContain(packed)
    expect(bytes()).toContain('quillfeather')
    const beside = openSqliteBeside(path)
    const words = { out: () => {}, err: () => {} }
    const reason = { by: 'records office', at: at(9), because: 'a name was typed' }
    expect(await eraseCommand(beside, 'MARSH-7', 'all', reason, words)).toBe(0)
    await beside.close()
    expect(await store.view.events('MARSH-7')).toMatchObject([{ question: ERASED }])
    for (const packed of kept) expect(bytes()).not.toContain(packed)
    expect(bytes().toLowerCase()).not.toContain('quillfeather')
    await store.close()
  })

  it('is said to stand in the log still, while somebody reads the trail', async () => {
    const path = freshPath()
    const store = await openSqliteStore(path, at(0))
    await ask(store, 'MARSH-7', 'Quillfeather asks')
    const reading = new Sqlite(path, { readonly: true })
    reading.exec('begin')
    reading.prepare('select count(*) from events').get()
    const beside = openSqliteBeside(path)
    await sql`pragma busy_timeout = 20`.execute(beside.db)
    const told: string[] = []
    const terminal = { out: () => {}, err: (text: string) => void told.push(text) }
    const reason = { by: 'records office', at: at(9), because: 'a name was typed' }
    expect(await eraseCommand(beside, 'MARSH-7', 'all', reason, terminal)).toBe(0)
    expect(told.join()).toContain('Somebody is reading the trail')
    reading.close()
    await beside.close()
    await store.close()
  })
})
