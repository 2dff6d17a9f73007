import { type ChildProcess, execFile, spawn } from 'node:child_process'
import { once } from 'node:events'
import { existsSync, mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { backupCommand, restoreCommand } from '../../adapters/backup-command.js'
import { openStore } from '../../adapters/store/open.js'
import { openForChecking } from '../../adapters/trail-tables.js'
import { NO_EFFECTS } from '../../src/desk/store.js'
import { seeded } from '../../src/optics/random.js'
import type { Link } from '../../src/trail/chain.js'
import { examineTrail } from '../../src/trail/examine.js'
import { exportLines } from '../../src/trail/export-lines.js'
import type { TrailReading } from '../../src/trail/trail-store.js'
import { at, PLACE } from '../consult/invented-people.js'
import { said } from '../contracts/store-contract-cases.js'
import { postgresIsThere, startPostgres, type TestPostgres } from '../tools/postgres.js'
import { type Program, putTogether } from '../tools/program.js'
import { verified } from './verify-bench.js'

const root = fileURLToPath(new URL('../..', import.meta.url))
const folder = mkdtempSync(join(tmpdir(), 'soundings-drill-'))
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

let started: Promise<TestPostgres> | undefined
const postgres = (): Promise<TestPostgres> => {
  started ??= startPostgres()
  return started
}
afterAll(async () => (await started)?.stop())

const saying = () => {
  const said = { out: '', err: '' }
  const adding = (to: 'out' | 'err') => (text: string) => {
    said[to] += text
  }
  return { said, out: adding('out'), err: adding('err') }
}

/** A process that writes to the trail; `reached` waits for a line of its, `told` has all of them. */
function writing(url: string, from = 1) {
  const child = spawn(process.execPath, [program.file, url, '--write', String(from)], {
    cwd: root,
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  children.push(child)
  const told: string[] = []
  const waiting: { line: string; resolve: () => void }[] = []
  createInterface({ input: child.stdout }).on('line', (line) => {
    told.push(line)
    for (const one of waiting) if (one.line === line) one.resolve()
  })
  return {
    told,
    reached: (line: string) =>
      new Promise<void>((resolve) => (told.includes(line) ? resolve() : waiting.push({ line, resolve }))),
    async killed() {
      child.kill('SIGKILL')
      await once(child, 'close')
    },
  }
}

async function linksOf(trail: TrailReading): Promise<readonly Link[]> {
  const links: Link[] = []
  for await (const link of trail.links()) links.push(link)
  return links
}

/** The whole trail at an address: its links, what `verify` says of every table, and the lines of its export. */
async function read(url: string, checkpoint?: string) {
  const opened = await openForChecking(url)
  try {
    const seen = await examineTrail(opened.trail)
    const links = await linksOf(opened.trail)
    const verify = await verified(opened, checkpoint === undefined ? {} : { checkpoint })
    let lines = ''
    for await (const line of exportLines(opened.trail, {}, '0.1.0')) lines += line
    return { seen, links, verify, lines }
  } finally {
    await opened.close()
  }
}

const WHOLE = { code: 0, err: '' }

describe('the drill: backed up at work, killed at any point, restored', () => {
  it.each([1, 2, 3])('keeps all that was accepted, and restores what the backup holds (seed %i)', async (seed) => {
    const random = seeded(seed)
    const backupAfter = 5 + Math.floor(random() * 20)
    const killAfter = backupAfter + 5 + Math.floor(random() * 30)
    const path = join(folder, `drill-${seed}`, 'trail.db')
    const file = join(folder, `backup-${seed}.db`)
    const writer = writing(`sqlite:${path}`)

    await writer.reached(`done ${backupAfter}`)
    const backup = saying()
    expect(await backupCommand(`sqlite:${path}`, file, backup), backup.said.err).toBe(0)
    await writer.reached(`${random() < 0.5 ? 'accepted' : 'done'} ${killAfter}`)
    await writer.killed()

    // The trail as the crash left it is whole, and holds everything that was said to be done.
    const crashed = await read(`sqlite:${path}`)
    expect(crashed.verify).toMatchObject(WHOLE)
    const done = writer.told.filter((line) => line.startsWith('done ')).length
    expect(crashed.seen.consults).toBeGreaterThanOrEqual(done)

    const restored = saying()
    expect(await restoreCommand(`sqlite:${path}`, file, at(30), restored), restored.said.err).toBe(0)
    const now = await read(`sqlite:${path}`, /^checkpoint (\S+)$/m.exec(backup.said.out)?.[1])
    expect(now.verify).toMatchObject({ ...WHOLE, out: expect.stringContaining('checkpoint found') })
    expect(now.seen.consults).toBeGreaterThanOrEqual(backupAfter)
    expect(now.links).toEqual(crashed.links.slice(0, now.links.length))
    expect(backup.said.out).toContain(now.seen.head)

    // The trail that stood there is kept, and writing goes on behind the restored one.
    expect(readdirSync(join(path, '..')).filter((name) => name.includes('.before-'))).not.toEqual([])
    const store = await openStore(`sqlite:${path}`, at(31))
    expect(await store.inbox.put({ key: 'after', inbound: said('x') }, at(31))).toBe('new')
    await store.close()
  })

  it.runIf(postgresIsThere())('does the same on PostgreSQL by pg_dump and pg_restore', async () => {
    const server = await postgres()
    const run = (program: string, ...args: string[]) => promisify(execFile)(join(server.binaries ?? '', program), args)
    const url = await server.freshSchema()
    const file = join(folder, 'backup.dump')
    const writer = writing(url)
    await writer.reached('done 12')
    const words = saying()
    expect(await backupCommand(url, file, words)).toBe(2)
    expect(words.said.err).toContain('pg_dump --format=custom')
    await run('pg_dump', '--format=custom', `--file=${file}`, url)
    await writer.reached('accepted 25')
    await writer.killed()

    const crashed = await read(url)
    expect(crashed.verify).toMatchObject(WHOLE)
    expect(crashed.seen.consults).toBeGreaterThanOrEqual(24)

    const fresh = await server.freshDatabase(url)
    await run('pg_restore', '--no-owner', '--exit-on-error', `--dbname=${fresh}`, file)
    const restored = saying()
    expect(await restoreCommand(fresh, undefined, at(30), restored), restored.said.err).toBe(0)
    const now = await read(fresh)
    expect(now.verify).toMatchObject(WHOLE)
    expect(now.links.length).toBeGreaterThanOrEqual(12)
    expect(now.links).toEqual(crashed.links.slice(0, now.links.length))

    // A dump of the trail at rest gives it back whole: the same lines to the byte, and the checkpoint noted before is met.
    const atRest = join(folder, 'at-rest.dump')
    await run('pg_dump', '--format=custom', `--file=${atRest}`, url)
    const same = await server.freshDatabase(url)
    await run('pg_restore', '--no-owner', '--exit-on-error', `--dbname=${same}`, atRest)
    const back = await read(same, crashed.verify.checkpoint)
    expect(back.verify).toMatchObject({ ...WHOLE, out: expect.stringContaining('checkpoint found') })
    expect(back.lines).toBe(crashed.lines)
  })

  it.runIf(postgresIsThere())('finds PostgreSQL whole whenever the program is killed at work', async () => {
    const server = await postgres()
    const url = await server.freshSchema()
    const random = seeded(7)
    let done = 0
    for (const round of [1, 2]) {
      const writer = writing(url, 100 * round)
      await writer.reached(`${random() < 0.5 ? 'accepted' : 'done'} ${100 * round + 3 + Math.floor(random() * 12)}`)
      await writer.killed()
      done += writer.told.filter((line) => line.startsWith('done ')).length
      const { seen, verify } = await read(url)
      expect(verify, `round ${round}`).toMatchObject(WHOLE)
      expect(seen.consults).toBeGreaterThanOrEqual(done)
    }
  })
})

describe('a backup', () => {
  const withCard = async (path: string) => {
    const store = await openStore(`sqlite:${path}`, at(0))
    await store.inbox.put({ key: 'k', inbound: said('x') }, at(0))
    const waiting = await store.inbox.next(at(1))
    const outbound = [{ kind: 'consult-card', ref: 'MARSH-7', place: PLACE }] as const
    await store.inbox.commit(waiting?.seq ?? 0, { ...NO_EFFECTS, outbound }, at(1))
    return store
  }

  it('is readable by its owner only, and never put over another file', async () => {
    const path = join(folder, 'mode', 'trail.db')
    const store = await withCard(path)
    const file = join(folder, 'mode.db')
    expect(await backupCommand(`sqlite:${path}`, file, saying())).toBe(0)
    expect(statSync(file).mode & 0o777).toBe(0o600)
    const again = saying()
    expect(await backupCommand(`sqlite:${path}`, file, again)).toBe(2)
    expect(again.said.err).toContain('is there already')
    await store.close()
  })

  it('that is restored sends nothing on its own that may have been sent since', async () => {
    const path = join(folder, 'sent', 'trail.db')
    const store = await withCard(path)
    const file = join(folder, 'sent.db')
    await backupCommand(`sqlite:${path}`, file, saying())
    const refused = saying()
    expect(await restoreCommand(`sqlite:${path}`, file, at(2), refused)).toBe(2)
    expect(refused.said.err).toContain('Another process is writing')
    await store.close()

    expect(await restoreCommand(`sqlite:${path}`, file, at(2), saying())).toBe(0)
    const after = await openStore(`sqlite:${path}`, at(3))
    const lane = { platform: 'slack', kind: 'part', heldChannels: [] } as const
    expect(await after.outbox.next(at(3), lane)).toMatchObject({ step: 'look', ref: 'MARSH-7', startedAt: at(1) })
    await after.close()
  })

  it('of nothing is not made, and what is no backup is not restored', async () => {
    const none = saying()
    expect(await backupCommand(`sqlite:${join(folder, 'none.db')}`, join(folder, 'none-backup.db'), none)).toBe(2)
    expect(none.said.err).toContain('There is no trail')
    expect(existsSync(join(folder, 'none-backup.db'))).toBe(false)

    const path = join(folder, 'kept', 'trail.db')
    await (await withCard(path)).close()
    const text = join(folder, 'text.db')
    writeFileSync(text, 'this is no database')
    expect(await restoreCommand(`sqlite:${path}`, text, at(2), saying())).toBe(2)
    expect(await restoreCommand(`sqlite:${path}`, undefined, at(2), saying())).toBe(2)
    expect((await read(`sqlite:${path}`)).seen).not.toHaveProperty('fault')
  })
})
