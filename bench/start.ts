import { spawn } from 'node:child_process'
import { mkdtemp, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'

const ROUNDS = 7
const IDLE_AFTER_MS = 2_000

/** Time from the start of the process until the page answers, and memory at rest, with no chat connected. Linux only for the memory. */
export async function run(): Promise<void> {
  const folder = await mkdtemp(join(tmpdir(), 'soundings-start-'))
  const ready: number[] = []
  const resident: number[] = []
  for (let round = 0; round < ROUNDS; round += 1) {
    const database = join(folder, `trail-${round}.db`)
    const one = await startOnce(database, round === ROUNDS - 1)
    ready.push(one.readyMs)
    if (one.residentMb !== undefined) resident.push(one.residentMb)
  }
  await rm(folder, { recursive: true })
  ready.sort((one, other) => one - other)
  console.info('serve, no chat, with the invented consult made on an empty trail')
  console.table({
    'until the page answers, ms': { median: ready[Math.floor(ROUNDS / 2)], worst: ready.at(-1), budget: 'at most 1000' },
    'memory at rest, MB': { median: resident[0], worst: resident[0], budget: 'at most 160' },
  })
}

async function startOnce(database: string, measureMemory: boolean): Promise<{ readyMs: number; residentMb: number | undefined }> {
  const began = performance.now()
  const server = spawn(process.execPath, ['dist/adapters/cli.js', 'serve'], {
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
  return { readyMs, residentMb }
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) await run()
