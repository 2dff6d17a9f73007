import { execFileSync, spawn } from 'node:child_process'
import { mkdtemp, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'

const ROUNDS = 7
const IDLE_AFTER_MS = 2_000
/** How the start page lists the invented consult once it is whole. */
const INVENTED = '2 answers'

/**
 * Time from the start of the process until the page answers, then until the invented consult stands on it, and memory at
 * rest, with no chat connected: of the program as `npm run build` makes it. Linux only for the memory.
 */
export async function run(): Promise<void> {
  execFileSync(process.execPath, ['deploy/build.mjs'])
  const folder = await mkdtemp(join(tmpdir(), 'soundings-start-'))
  const ready: number[] = []
  const demonstrated: number[] = []
  const resident: number[] = []
  for (let round = 0; round < ROUNDS; round += 1) {
    const database = join(folder, `trail-${round}.db`)
    const one = await startOnce(database, round === ROUNDS - 1)
    ready.push(one.readyMs)
    demonstrated.push(one.demonstratedMs)
    if (one.residentMb !== undefined) resident.push(one.residentMb)
  }
  await rm(folder, { recursive: true })
  const row = (times: readonly number[], budget: string) => {
    const sorted = times.toSorted((one, other) => one - other)
    return { median: sorted[Math.floor(ROUNDS / 2)], worst: sorted.at(-1), budget }
  }
  console.info('serve, no chat, on an empty trail')
  console.table({
    'until the page answers, ms': row(ready, 'at most 1000'),
    'until the invented consult stands on it, ms': row(demonstrated, ''),
    'memory at rest, MB': { median: resident[0], worst: resident[0], budget: 'at most 160' },
  })
}

interface Start {
  readonly readyMs: number
  readonly demonstratedMs: number
  readonly residentMb: number | undefined
}

async function startOnce(database: string, measureMemory: boolean): Promise<Start> {
  const began = performance.now()
  const server = spawn(process.execPath, ['dist/program/cli.js', 'serve'], {
    env: { ...process.env, DATABASE_URL: `sqlite:${database}`, PORT: '0' },
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  const url = await new Promise<string>((resolve, reject) => {
    server.once('exit', () => reject(new Error('the server ended before it was ready')))
    server.stdout.on('data', (line: Buffer) => {
      const found = /"url":"([^"]+)"/.exec(line.toString())
      if (found?.[1]) resolve(found[1])
    })
  })
  await fetch(url)
  const readyMs = Math.round(performance.now() - began)
  while (!(await (await fetch(url)).text()).includes(INVENTED)) await new Promise((resolve) => setTimeout(resolve, 20))
  const demonstratedMs = Math.round(performance.now() - began)
  let residentMb: number | undefined
  if (measureMemory && process.platform === 'linux') {
    await new Promise((resolve) => setTimeout(resolve, IDLE_AFTER_MS))
    const status = await readFile(`/proc/${server.pid}/status`, 'utf8')
    residentMb = Math.round(Number(/VmRSS:\s+(\d+)/.exec(status)?.[1]) / 1024)
  }
  server.removeAllListeners('exit')
  const ended = new Promise((resolve) => server.once('exit', resolve))
  server.kill('SIGTERM')
  await ended
  return { readyMs, demonstratedMs, residentMb }
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) await run()
