import { execFile, spawn } from 'node:child_process'
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { readGround } from '../../adapters/ground.js'
import { planCommand } from '../../adapters/plan-command.js'

const root = new URL('../..', import.meta.url).pathname
const run = promisify(execFile)

const CASE = `LE 58M, AL 29.60 optical SD 0.02, K1 42.10@95 K2 43.20@5, ACD 3.45, LT 4.90, WTW 12.1, CCT 548
brown NO 5.2; ECD 2180; no fundal view, B-scan flat; target -1.75; A 118.9; registrar; ? chop or manual`

/** Each starts the program as a person would; a busy machine takes long over it. */
const PATIENCE_MS = 60_000

describe('the program as it is built', { timeout: PATIENCE_MS }, () => {
  /** Within the project, where rules and the packages that it leaves outside are found. */
  const built = join(root, `dist/built-for-tests-${process.pid}`)
  const folder = mkdtempSync(join(tmpdir(), 'soundings-built-'))
  const files = () => readdirSync(built).filter((file) => file.endsWith('.js'))
  const textOf = (file: string) => readFileSync(join(built, file), 'utf8')

  beforeAll(() => run(process.execPath, ['deploy/build.mjs', built], { cwd: root }), PATIENCE_MS)
  afterAll(() => {
    for (const made of [built, folder]) rmSync(made, { recursive: true })
  })

  it('makes the plan that the source makes, to the letter', async () => {
    const read = await readGround({}, 'allowed')
    if ('faults' in read) throw new Error(read.faults.join('\n'))
    const fromSource: string[] = []
    const today = new Date().toISOString().slice(0, 10)
    const terminal = { out: (text: string) => void fromSource.push(text), err: () => {}, width: 100, today }
    await planCommand(CASE, { json: true }, read.ground, terminal)

    const started = run(process.execPath, [join(built, 'cli.js'), 'plan', '--json'])
    started.child.stdin?.end(CASE)
    expect((await started).stdout).toBe(fromSource.join(''))
  })

  it('leaves outside what has native code, what only some starts need, and nothing that is not installed with it', () => {
    const { dependencies } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as {
      dependencies: Record<string, string>
    }
    const outside = new Set(
      files().flatMap((file) =>
        [...textOf(file).matchAll(/^(?:import|export)[^;'"`]*["']([^."'][^"']*)["'];$/gm)].map(([, name]) => name ?? ''),
      ),
    )
    const packages = [...outside].filter((name) => !name.startsWith('node:'))
    expect(packages).toEqual(expect.arrayContaining(['better-sqlite3', 'pg', '@slack/bolt', 'botbuilder', '@resvg/resvg-wasm']))
    for (const name of packages) expect(dependencies, name).toHaveProperty([name])
  })

  it('has the thread that draws pictures beside the file that starts it, and a map beside every file with code', () => {
    const starters = files().filter((file) => textOf(file).includes('new URL("./draw-worker.js", import.meta.url)'))
    expect(starters).toHaveLength(1)
    expect(files()).toContain('draw-worker.js')
    for (const file of files().filter((one) => textOf(one).includes('//#region ')))
      expect(existsSync(join(built, `${file}.map`)), file).toBe(true)
  })

  it('serves the page, the numbers and, soon after, the invented consult once', async () => {
    const server = spawn(process.execPath, [join(built, 'cli.js'), 'serve'], {
      env: { ...process.env, DATABASE_URL: `sqlite:${join(folder, 'trail.db')}`, PORT: '0' },
      stdio: ['ignore', 'pipe', 'inherit'],
    })
    const ended = new Promise((resolve) => server.once('exit', resolve))
    try {
      const url = await new Promise<string>((resolve, reject) => {
        server.once('exit', () => reject(new Error('the server ended before it was ready')))
        server.stdout.on('data', (line: Buffer) => {
          const found = /"url":"([^"]+)"/.exec(line.toString())
          if (found?.[1]) resolve(found[1])
        })
      })
      const textAt = async (path: string) => (await fetch(new URL(path, url), { headers: { connection: 'close' } })).text()
      expect(JSON.parse(await textAt('/readyz'))).toMatchObject({ ready: true })
      expect(await textAt('/metrics')).toContain('soundings_inbox_waiting')
      let page = await textAt('/')
      while (!page.includes('2 answers')) page = await textAt('/')
      expect(page.match(/\(invented\)/g)).toHaveLength(1)
    } finally {
      server.kill('SIGTERM')
      await ended
    }
  })
})
