import { execFile } from 'node:child_process'
import { randomBytes } from 'node:crypto'
import {
  chownSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout } from 'node:timers/promises'
import { promisify } from 'node:util'
import pg from 'pg'

const run = promisify(execFile)

/** A real PostgreSQL for the tests of one file. */
export interface TestPostgres {
  /** The address of a schema that nothing else uses. */
  freshSchema(): Promise<string>
  /** The address of an empty database, under the same schema as the other address names. */
  freshDatabase(sameSchemaAs: string): Promise<string>
  /** Asks the server something in the schema of that address. */
  query(url: string, statement: string): Promise<readonly Record<string, unknown>[]>
  readonly binaries: string | undefined
  stop(): Promise<void>
}

const INSTALLED = '/usr/lib/postgresql'

/** The folder of the newest server that is installed, or undefined. */
function installedBinaries(): string | undefined {
  if (!existsSync(INSTALLED)) return undefined
  const newest = readdirSync(INSTALLED)
    .toSorted((one, other) => Number(other) - Number(one))
    .map((version) => join(INSTALLED, version, 'bin'))
  return newest.find((folder) => existsSync(join(folder, 'initdb')))
}

/** Whether there is a PostgreSQL to test with: `TEST_DATABASE_URL`, or an installed one. In CI its absence is a failure. */
export function postgresIsThere(): boolean {
  if (process.env['TEST_DATABASE_URL'] !== undefined || installedBinaries() !== undefined) return true
  const words = 'No PostgreSQL: install it (apt-get install postgresql) or set TEST_DATABASE_URL to a database for tests.'
  if (process.env['CI']) throw new Error(words)
  console.warn(`SKIPPED, PostgreSQL tests: ${words}`)
  return false
}

/**
 * Uses the server of `TEST_DATABASE_URL`, or the one of this run of tests with a database of its own in it, or starts one in a
 * temporary folder on a free loopback port.
 * @param durable waits for the disk at each commit, as a server at work does
 */
export async function startPostgres(durable = false): Promise<TestPostgres> {
  const given = process.env['TEST_DATABASE_URL']
  const binaries = installedBinaries()
  if (given !== undefined) return over(given, binaries, async () => {})
  if (binaries === undefined) throw new Error('No PostgreSQL is installed')

  const shared = process.env[SHARED_FOLDER]
  if (shared !== undefined && !durable) {
    const url = new URL((await sharedServer(shared, binaries)).url)
    const name = `soundings_file_${randomBytes(6).toString('hex')}`
    await ask(url.href, `create database ${name} template template0`)
    url.pathname = `/${name}`
    return over(url.href, binaries, async () => {})
  }
  const folder = mkdtempSync(join(tmpdir(), 'soundings-postgres-'))
  const url = await startIn(folder, binaries, durable)
  return over(url, binaries, () => stopIn(folder, binaries))
}

/** Names the folder of the server that all files of a run of tests share; see `shared-postgres.ts`. */
export const SHARED_FOLDER = 'TEST_POSTGRES_FOLDER'
const SHARED_WAIT_MS = 60_000

interface SharedServer {
  readonly url: string
  /** Its own folder, which the user that it runs as can reach. */
  readonly folder: string
}

const noteIn = (folder: string): string => join(folder, 'server.json')

/** The first file that asks starts the server and notes where it is; the others wait for the note. */
async function sharedServer(shared: string, binaries: string): Promise<SharedServer> {
  const note = noteIn(shared)
  if (isFirstIn(shared)) {
    const folder = mkdtempSync(join(tmpdir(), 'soundings-postgres-'))
    const server: SharedServer = { url: await startIn(folder, binaries, false), folder }
    writeFileSync(`${note}.fresh`, JSON.stringify(server))
    renameSync(`${note}.fresh`, note)
    return server
  }
  for (let waited = 0; !existsSync(note); waited += 50) {
    if (waited > SHARED_WAIT_MS) throw new Error('The PostgreSQL of this run of tests did not start')
    await setTimeout(50)
  }
  return JSON.parse(readFileSync(note, 'utf8')) as SharedServer
}

/** A folder is made once, whoever tries at the same time. */
function isFirstIn(folder: string): boolean {
  try {
    mkdirSync(join(folder, 'taken'))
    return true
  } catch {
    return false
  }
}

/** Ends the shared server, if a file has started it. */
export async function stopShared(shared: string): Promise<void> {
  const binaries = installedBinaries()
  if (binaries !== undefined && existsSync(noteIn(shared))) {
    const server = JSON.parse(readFileSync(noteIn(shared), 'utf8')) as SharedServer
    await stopIn(server.folder, binaries)
  }
  rmSync(shared, { recursive: true })
}

async function startIn(folder: string, binaries: string, durable: boolean): Promise<string> {
  const asOwner = await ownerOf(folder)
  const cluster = join(folder, 'data')
  await asOwner(join(binaries, 'initdb'), '-D', cluster, '-U', 'tester', '-A', 'trust', '-E', 'UTF8', '--locale=C', '--no-sync')
  const port = await freePort()
  // Nothing of a test outlives it, so the disk need not be waited for, nor anything kept in order for later.
  const work = durable ? '-c fsync=on' : '-c fsync=off -c synchronous_commit=off -c full_page_writes=off -c autovacuum=off'
  const settings = `-c listen_addresses=127.0.0.1 -c port=${port} -c unix_socket_directories=${folder} ${work}`
  await asOwner(join(binaries, 'pg_ctl'), '-D', cluster, '-w', '-o', settings, '-l', join(folder, 'log'), 'start')
  return `postgres://tester@127.0.0.1:${port}/postgres`
}

async function stopIn(folder: string, binaries: string): Promise<void> {
  const asOwner = await ownerOf(folder)
  await asOwner(join(binaries, 'pg_ctl'), '-D', join(folder, 'data'), '-w', '-m', 'immediate', 'stop')
  rmSync(folder, { recursive: true })
}

/** The server refuses to run as root, so root hands the folder to the user that comes with the package. */
async function ownerOf(folder: string) {
  if (process.getuid?.() !== 0) return (program: string, ...args: string[]) => run(program, args, { cwd: folder })
  const id = async (flag: string) => Number((await run('id', [flag, 'postgres'])).stdout)
  chownSync(folder, await id('-u'), await id('-g'))
  return (program: string, ...args: string[]) => run('runuser', ['-u', 'postgres', '--', program, ...args], { cwd: folder })
}

const freePort = (): Promise<number> =>
  new Promise((resolve, reject) => {
    const server = createServer()
    server.once('error', reject)
    server.listen(0, '127.0.0.1', () => {
      const address = server.address()
      server.close(() => resolve(typeof address === 'object' && address ? address.port : 0))
    })
  })

async function ask(url: string, statement: string): Promise<Record<string, unknown>[]> {
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  try {
    return (await client.query(statement)).rows as Record<string, unknown>[]
  } finally {
    await client.end()
  }
}

function over(base: string, binaries: string | undefined, stop: () => Promise<void>): TestPostgres {
  const schemas: string[] = []
  const databases: string[] = []
  return {
    binaries,
    async freshSchema() {
      const name = `soundings_test_${randomBytes(6).toString('hex')}`
      await ask(base, `create schema ${name}`)
      schemas.push(name)
      const url = new URL(base)
      url.searchParams.set('options', `-c search_path=${name}`)
      return url.href.replaceAll('+', '%20')
    },
    async freshDatabase(sameSchemaAs) {
      const name = `soundings_test_${randomBytes(6).toString('hex')}`
      await ask(base, `create database ${name} template template0`)
      databases.push(name)
      const url = new URL(sameSchemaAs)
      url.pathname = `/${name}`
      return url.href.replaceAll('+', '%20')
    },
    query: ask,
    async stop() {
      if (process.env['TEST_DATABASE_URL'] !== undefined) {
        for (const name of schemas) await ask(base, `drop schema ${name} cascade`)
        for (const name of databases) await ask(base, `drop database ${name} with (force)`)
      }
      await stop()
    },
  }
}
