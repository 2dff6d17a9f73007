import { execFileSync, spawnSync } from 'node:child_process'
import { join } from 'node:path'
import { Command } from 'commander'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { addRulesCommands } from '../../adapters/rules-commands.js'
import { readSettings } from '../../adapters/settings.js'
import { openSqliteStore } from '../../adapters/store/sqlite/open.js'
import { departmentFolder, UNIT } from '../precautions/a-department.js'
import { programFolder } from '../tools/program.js'

const root = new URL('../..', import.meta.url).pathname

const folder = programFolder()
beforeAll(() => void execFileSync(process.execPath, [join(root, 'deploy/build.mjs'), folder.path]))
afterAll(folder.remove)

/** The program as a release has it and a person runs it, in a process of its own. */
function soundings(
  args: readonly string[],
  input = '',
): { readonly code: number | null; readonly out: string; readonly err: string } {
  const { PATH } = process.env
  const { status, stdout, stderr } = spawnSync(process.execPath, [join(folder.path, 'cli.js'), ...args], {
    cwd: root,
    input,
    encoding: 'utf8',
    env: { PATH, NODE_NO_WARNINGS: '1' },
  })
  return { code: status, out: stdout, err: stderr }
}

describe('the program, in a process of its own', () => {
  it('checks the shipped rules and ends with 0', () => {
    const { code, out, err } = soundings(['rules', 'check'])
    expect([code, err]).toEqual([0, ''])
    expect(out).toMatch(/^\d+ precautions \(\d+ on the checklist\), 16 tensions\. No fault\.\n/)
    expect(out).toMatch(/\nrule set [0-9a-f]{64}\n$/)
  })

  it('ends with 2 when a department file has a fault, and says file, line and remedy', () => {
    const wrong = departmentFolder({ 'x.json': { override: 'backup-lens', layer: UNIT } })
    try {
      const { code, out, err } = soundings(['rules', 'check', '--rules', wrong.path])
      expect([code, out]).toEqual([2, ''])
      expect(err).toContain(`${wrong.path}/x.json:1: this override changes nothing; give "indicator", "text" or "off"`)
    } finally {
      wrong.remove()
    }
  })

  it('explains an invented case from standard input', () => {
    const { code, out, err } = soundings(
      ['rules', 'explain', '--only', 'quiet'],
      'RE 70F, AL 23.40 optical, K 43.50; NO 2; target -0.25; A 118.9',
    )
    expect([code, err]).toEqual([0, ''])
    expect(out).toContain('axial length 23.4 mm: at least 26 mm? no')
  })
})

describe('the commands around the rules', () => {
  const department = departmentFolder()
  afterAll(department.remove)
  const codeBefore = process.exitCode
  afterEach(() => {
    process.exitCode = codeBefore
  })

  /** Runs one command line in this process; what the program refuses is thrown. */
  async function typed(args: readonly string[], settings: Readonly<Record<string, string>> = {}): Promise<string> {
    const out: string[] = []
    const read = readSettings(settings)
    if ('faults' in read) throw new Error(read.faults.map(({ message }) => message).join('\n'))
    const program = new Command('soundings').exitOverride().configureOutput({ writeErr: () => {} })
    addRulesCommands(program, {
      terminal: { out: (text) => out.push(text), err: (text) => out.push(text), width: 80, today: '2026-03-01' },
      settings: () => read.settings,
      refuse: (faults) => {
        throw new Error(`refused: ${faults.join('\n')}${out.join('')}`)
      },
    })
    await program.parseAsync(args, { from: 'user' })
    return out.join('')
  }

  it('take the folder from the command line, or else from the settings', async () => {
    expect(await typed(['rules', 'check'])).not.toContain(UNIT)
    expect(await typed(['rules', 'check', '--rules', department.path])).toContain(`${UNIT} 3`)
    expect(await typed(['rules', 'check'], { SOUNDINGS_RULES: department.path })).toContain(`${UNIT} 3`)
  })

  it('explain a file, with the department folder over the shipped rules', async () => {
    const lines = await typed(['rules', 'explain', '--only', 'fires', '--rules', department.path, 'examples/long-brown-eye.txt'])
    expect(lines).toContain(`backup-lens (lens, critical, ${UNIT})`)
  })

  it('refuse a folder that is not there, and a case file that is not', async () => {
    await expect(typed(['rules', 'check', '--rules', join(department.path, 'nowhere')])).rejects.toThrow(
      /refused: .*nowhere cannot be read/,
    )
    await expect(typed(['rules', 'explain', join(department.path, 'nowhere.txt')])).rejects.toThrow(/refused: .*nowhere\.txt/)
    await expect(typed(['rules', 'explain', '--only', 'maybe', '-'])).rejects.toThrow(/fires, unknown, quiet/)
  })

  it('refuse to sign without a folder to keep the record in', async () => {
    await expect(typed(['rules', 'sign', '--by', 'A. Lead (invented)', '--role', 'lead'])).rejects.toThrow(
      /refused: --rules: name/,
    )
  })

  it('sign for today unless told, and show the approval on the page', async () => {
    const path = department.path
    await typed(['rules', 'sign', '--by', 'A. Lead (invented)', '--role', 'lead', '--rules', path])
    expect(await typed(['rules', 'show', '--rules', path])).toContain(
      '<td>A. Lead (invented)</td><td>lead</td><td>2026-03-01</td>',
    )
  })

  it('say what faulty rules hold before they refuse to work with them', async () => {
    const wrong = departmentFolder({ 'x.json': { override: 'backup-lens', layer: UNIT } })
    try {
      await expect(typed(['rules', 'show', '--rules', wrong.path])).rejects.toThrow(/x\.json:1: this override changes nothing/)
    } finally {
      wrong.remove()
    }
  })

  it('weigh a change over a trail on disk', async () => {
    const database = join(department.path, '.trail.db')
    await expect(typed(['rules', 'impact', '--rules', department.path], { DATABASE_URL: `sqlite:${database}` })).rejects.toThrow(
      /refused: .*no trail/i,
    )
    await (await openSqliteStore(database, '2026-03-01T08:00:00.000Z')).close()
    const said = await typed(['rules', 'impact', '--rules', department.path], { DATABASE_URL: `sqlite:${database}` })
    expect(said).toContain('0 of 0 past plans would change.')
  })

  it('list the sources', async () => {
    expect(await typed(['sources'])).toContain('Numbers in formulas and models')
  })
})
