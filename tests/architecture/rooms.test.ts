import { execFile } from 'node:child_process'
import { cp, mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'

const root = new URL('../..', import.meta.url).pathname
const run = promisify(execFile)

interface Report {
  readonly summary: {
    readonly totalCruised: number
    readonly violations: readonly { readonly from: string; readonly rule: { readonly name: string } }[]
  }
}

async function cruise(where: string): Promise<Report> {
  const bin = join(root, 'node_modules/dependency-cruiser/bin/dependency-cruise.mjs')
  const args = [bin, 'src', 'adapters', '--config', join(root, 'tests/tools/dependency-rules.cjs'), '--output-type', 'json']
  const outcome = await run(process.execPath, args, { cwd: where, maxBuffer: 1 << 28 }).catch(
    (failed: { stdout: string }) => failed,
  )
  return JSON.parse(outcome.stdout) as Report
}

describe('the check of import directions', () => {
  let planted: string

  beforeAll(async () => {
    planted = await mkdtemp(join(tmpdir(), 'rooms-'))
    for (const room of ['src/optics', 'src/terms', 'src/cards', 'adapters/slack', 'adapters/teams'])
      await mkdir(join(planted, room), { recursive: true })
    await cp(join(root, 'tsconfig.json'), join(planted, 'tsconfig.json'))
    await writeFile(join(planted, 'package.json'), '{"type":"module"}')
    await writeFile(join(planted, 'adapters/teams/wire.ts'), 'export const wire = 1\n')
    await writeFile(
      join(planted, 'adapters/slack/wire.ts'),
      "import { wire } from '../teams/wire.js'\nexport const other = wire\n",
    )
    await writeFile(
      join(planted, 'src/terms/word.ts'),
      "import { wire } from '../../adapters/teams/wire.js'\nexport const word = wire\n",
    )
    await writeFile(join(planted, 'src/cards/card.ts'), 'export const card = 1\n')
    await writeFile(
      join(planted, 'src/optics/lens.ts'),
      "import { readFileSync } from 'node:fs'\nimport { card } from '../cards/card.js'\nexport const lens = [readFileSync, card]\n",
    )
  })
  afterAll(() => rm(planted, { recursive: true }))

  it('looks at the whole source and finds nothing wrong with it', async () => {
    const { summary } = await cruise(root)
    expect(summary.totalCruised).toBeGreaterThan(100)
    expect(summary.violations.map(({ from, rule }) => `${from}: ${rule.name}`)).toEqual([])
  })

  it('finds a core that imports an adapter, a room that imports another, one that reads files, and a chat that imports a chat', async () => {
    const { summary } = await cruise(planted)
    const found = summary.violations.map(({ from, rule }) => `${from}: ${rule.name}`)
    expect(found).toContain('src/terms/word.ts: core-never-imports-adapters')
    expect(found).toContain('src/optics/lens.ts: optics-imports-only-its-rooms')
    expect(found).toContain('src/optics/lens.ts: optics-uses-only-its-packages')
    expect(found).toContain('adapters/slack/wire.ts: chats-stay-apart')
  })
})

async function filesUnder(folder: string): Promise<string[]> {
  const entries = await readdir(join(root, folder), { recursive: true, withFileTypes: true })
  return entries.filter((entry) => entry.isFile()).map((entry) => join(entry.parentPath, entry.name))
}

describe('the source', () => {
  it('has no file over 300 lines in src and adapters', async () => {
    const files = [...(await filesUnder('src')), ...(await filesUnder('adapters'))].filter((file) => file.endsWith('.ts'))
    expect(files.length).toBeGreaterThan(100)
    const long: string[] = []
    for (const file of files) if ((await readFile(file, 'utf8')).split('\n').length > 301) long.push(file)
    expect(long).toEqual([])
  })

  it('computes no power with ** or Math.pow, whose bits differ between Node majors', async () => {
    const guilty: string[] = []
    for (const file of await filesUnder('src')) {
      const code = (await readFile(file, 'utf8')).replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, '').replace(/`[^`]*`|'[^'\n]*'/g, '')
      if (/\*\*|Math\.pow/.test(code)) guilty.push(file)
    }
    expect(guilty).toEqual([])
  })

  it('names no registry host in the lock file', async () => {
    const lock = await readFile(join(root, 'package-lock.json'), 'utf8')
    expect(lock).not.toMatch(/"resolved": "https?:/)
  })
})
