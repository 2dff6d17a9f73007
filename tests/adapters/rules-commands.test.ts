import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { readGround } from '../../adapters/ground.js'
import type { Terminal } from '../../adapters/plan-command.js'
import { checkRules, explainCase, showRules } from '../../adapters/rules-actions.js'
import { loadRuleSet } from '../../adapters/rules-folder.js'
import { rulesImpact } from '../../adapters/rules-impact.js'
import { readSignOffsFile, signRules } from '../../adapters/rules-sign-off.js'
import { sourcesCommand } from '../../adapters/sources-command.js'
import { makePlan } from '../../src/plan/make-plan.js'
import type { Plan } from '../../src/plan/plan.js'
import { compileRules } from '../../src/precautions/compile.js'
import { FINDINGS } from '../../src/precautions/explain.js'
import type { RuleSet } from '../../src/precautions/rules.js'
import type { TrailReading } from '../../src/trail/trail-store.js'
import { longBrownEye, said } from '../plan/a-case.js'
import { departmentFolder, UNIT } from '../precautions/a-department.js'

interface FakeTerminal extends Terminal {
  readonly said: () => string
  readonly complained: () => string
}

function fakeTerminal(): FakeTerminal {
  const out: string[] = []
  const err: string[] = []
  return {
    out: (text) => out.push(text),
    err: (text) => err.push(text),
    width: 80,
    today: '2026-03-01',
    said: () => out.join(''),
    complained: () => err.join(''),
  }
}

let terminal: FakeTerminal
let department: ReturnType<typeof departmentFolder>
let shipped: RuleSet

const ruleSetOf = async (folder?: string): Promise<RuleSet> => {
  const outcome = await loadRuleSet('rules', folder)
  if (outcome.kind === 'rules') return outcome.ruleSet
  throw new Error(outcome.faults.map(({ message }) => message).join('\n'))
}

beforeAll(async () => {
  shipped = await ruleSetOf()
})
beforeEach(() => {
  terminal = fakeTerminal()
  department = departmentFolder()
})
afterEach(() => department.remove())

describe('soundings rules check', () => {
  it('counts what rules without a fault hold, by step and by layer, and what is switched off', async () => {
    expect(checkRules(await loadRuleSet('rules', department.path), terminal)).toBe(0)
    expect(terminal.said()).toContain(`${shipped.precautions.length} precautions (22 on the checklist), 16 tensions. No fault.`)
    expect(terminal.said()).toContain(`by layer: shipped ${shipped.precautions.length - 3 + 16}, ${UNIT} 3`)
    expect(terminal.said()).toContain(`switched off by ${UNIT}: long-slot, because every list of ours has long slots`)
  })

  it('says each fault with the path as it was given, its line, and what to write instead', async () => {
    const wrong = departmentFolder({ 'wording.json': { override: 'backup-lenz', layer: UNIT, indicator: 'info' } })
    try {
      expect(checkRules(await loadRuleSet('rules', `${wrong.path}/`), terminal)).toBe(2)
      const [first] = terminal.complained().split('\n')
      expect(first).toBe(
        `${wrong.path}/wording.json:2: there is no shipped precaution "backup-lenz"; did you mean "backup-lens"?`,
      )
      expect(terminal.said()).toBe('')
    } finally {
      wrong.remove()
    }
  })
})

describe('soundings rules explain', () => {
  const CASE = 'LE 58M, AL 29.60 optical, K1 42.10@95 K2 43.20@5, ACD 3.45; brown NO 5.2; target -1.75; A 118.9; registrar'

  it('tells the facts of a case message and why each rule fires, is open or is quiet', async () => {
    expect(await explainCase(CASE, FINDINGS, { ruleSet: shipped }, terminal)).toBe(0)
    expect(terminal.said()).toContain('  axial length: 29.6 mm\n')
    expect(terminal.said()).toMatch(/recommended lens power: \+\d+\.\d\d D/)
    expect(terminal.said()).toMatch(
      /\nhyperopic-surprise \(biometry, warning, shipped\)\n {2}Expect .*\n {2}axial length 29\.6 mm: above 26 mm\? yes\n/,
    )
    expect(terminal.said()).toMatch(/\nonly-seeing-eye .*\n.*\n.*not known\n {2}to decide it: only seeing eye\n/)
    expect(terminal.said()).toMatch(/\nlength-not-known .*\n.*\n {2}axial length 29\.6 mm: not known\? no\n/)
  })

  it('tells only what was asked for', async () => {
    expect(await explainCase(CASE, ['unknown'], { ruleSet: shipped }, terminal)).toBe(0)
    expect(terminal.said()).toContain('Cannot be decided: ')
    expect(terminal.said()).not.toMatch(/\n(Fires|Quiet): /)
  })

  it('refuses what identifies a patient and says nothing of it', async () => {
    expect(await explainCase(`Name: Jane Example\n${CASE}`, FINDINGS, { ruleSet: shipped }, terminal)).toBe(2)
    expect(terminal.said()).toBe('')
    expect(terminal.complained()).not.toContain('Example')
  })

  it('refuses an empty message with guidance', async () => {
    expect(await explainCase(' ', FINDINGS, { ruleSet: shipped }, terminal)).toBe(2)
    expect(terminal.complained()).not.toBe('')
  })
})

describe('soundings rules show', () => {
  it('writes a page with every rule to a file, or to the terminal', async () => {
    const out = join(department.path, 'rules.html')
    expect(showRules(shipped, [], out, terminal)).toBe(0)
    const page = readFileSync(out, 'utf8')
    for (const { id } of [...shipped.precautions, ...shipped.tensions]) expect(page).toContain(`/${id}<`)
    expect(showRules(shipped, [], undefined, terminal)).toBe(0)
    expect(terminal.said()).toContain(page)
  })

  it('says when the file cannot be written', () => {
    expect(showRules(shipped, [], join(department.path, 'nowhere', 'rules.html'), terminal)).toBe(2)
    expect(terminal.complained()).toContain('cannot be written')
  })
})

describe('soundings rules sign', () => {
  const by = (who: string) => ({ who, role: 'clinical lead', when: '2026-02-27' })

  it('adds approvals to the record and never changes what stands there', async () => {
    const ruleSet = await ruleSetOf(department.path)
    expect(signRules(ruleSet, department.path, by('A. Lead (invented)'), terminal)).toBe(0)
    expect(signRules(ruleSet, department.path, by('B. Deputy (invented)'), terminal)).toBe(0)
    expect(readSignOffsFile(department.path)).toEqual({
      kind: 'sign-offs',
      signOffs: [
        { ...by('A. Lead (invented)'), hash: ruleSet.version },
        { ...by('B. Deputy (invented)'), hash: ruleSet.version },
      ],
    })
    expect(terminal.said()).toContain(ruleSet.version)
  })

  it('is no rule file: the rules read the same with the record beside them', async () => {
    const before = await ruleSetOf(department.path)
    signRules(before, department.path, by('A. Lead (invented)'), terminal)
    expect((await ruleSetOf(department.path)).version).toBe(before.version)
  })

  it('refuses a day to come and leaves no record', () => {
    expect(signRules(shipped, department.path, { ...by('A. Lead (invented)'), when: '2026-03-02' }, terminal)).toBe(2)
    expect(terminal.complained()).toContain('--on')
    expect(existsSync(join(department.path, 'sign-offs.json'))).toBe(false)
  })

  it('does not touch a record that does not read', () => {
    writeFileSync(join(department.path, 'sign-offs.json'), '[{')
    expect(signRules(shipped, department.path, by('A. Lead (invented)'), terminal)).toBe(2)
    expect(readFileSync(join(department.path, 'sign-offs.json'), 'utf8')).toBe('[{')
  })

  it('reaches the plan through the ground, and a broken record stops the start', async () => {
    const ruleSet = await ruleSetOf(department.path)
    signRules(ruleSet, department.path, by('A. Lead (invented)'), terminal)
    const read = await readGround({ SOUNDINGS_RULES: department.path }, 'allowed')
    if ('faults' in read) throw new Error(read.faults.join('\n'))
    const plan = await makePlan(longBrownEye(), read.ground)
    expect(plan.versions.rulesApproved).toEqual({ by: 'A. Lead (invented)', role: 'clinical lead', on: '2026-02-27' })
    writeFileSync(join(department.path, 'sign-offs.json'), '{}')
    expect(await readGround({ SOUNDINGS_RULES: department.path }, 'allowed')).toMatchObject({
      faults: [expect.stringContaining('sign-offs.json')],
    })
  })
})

describe('soundings rules impact', () => {
  /** A trail that is only walked: its links in order, and its plans. */
  const trailOf = (plans: readonly (readonly [ref: string, hash: string, plan: Plan | undefined])[]): TrailReading => ({
    events: async () => [],
    plan: async (hash) => {
      if (hash === 'altered') throw new Error('The plan kept under altered is not the plan that was written there')
      return plans.find(([, each]) => each === hash)?.[2]
    },
    find: async () => [],
    newest: async () => [],
    async *links() {
      for (const [at, [ref, planHash]] of plans.entries()) {
        const link = { position: at * 2 + 1, ref, version: 1, previous: '', hash: '' }
        yield { ...link, body: JSON.stringify({ type: 'consult-asked', planHash }) }
        yield { ...link, position: at * 2 + 2, version: 2, body: JSON.stringify({ type: 'comment-made' }) }
      }
    },
    keptText: async () => undefined,
    planErased: async () => false,
    async *recordActs() {},
  })

  const planOf = (axialLengthMm: number) =>
    makePlan(longBrownEye({ axialLengthMm: said(axialLengthMm) }), { soundings: '0.0.0', ruleSet: shipped })

  it('says which past plans gain or lose which precaution, and counts', async () => {
    const trail = trailOf([
      ['MARSH-7', 'h1', await planOf(29.6)],
      ['COVE-2', 'h2', await planOf(23.4)],
      ['REEF-9', 'h3', undefined],
      ['TARN-4', 'altered', undefined],
    ])
    const [before, after] = [compileRules(shipped), compileRules(await ruleSetOf(department.path))]
    expect(await rulesImpact(before, after, trail, { json: false }, terminal)).toBe(0)
    expect(terminal.said()).toContain(
      'MARSH-7  loses long-slot (fires → absent), gains second-clinic-for-long-eyes (absent → fires)\n',
    )
    expect(terminal.said()).toContain('COVE-2  changes long-slot (quiet → absent), changes second-clinic')
    expect(terminal.said()).toMatch(/\nlong-slot {2,}0 {2,}1 {2,}1\n/)
    expect(terminal.said()).toContain('2 of 2 past plans would change.\n2 more could not be read.\n')
    expect(terminal.complained()).toMatch(/^REEF-9: its plan is not in the trail\nTARN-4: The plan kept under altered is not/)
  })

  it('gives each changed case and the totals as lines of JSON', async () => {
    const trail = trailOf([['MARSH-7', 'h1', await planOf(29.6)]])
    const [before, after] = [compileRules(shipped), compileRules(await ruleSetOf(department.path))]
    await rulesImpact(before, after, trail, { json: true }, terminal)
    const lines = terminal
      .said()
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as unknown)
    expect(lines).toEqual([
      {
        ref: 'MARSH-7',
        planHash: 'h1',
        changes: [
          { id: 'long-slot', before: 'fires', after: 'absent' },
          { id: 'second-clinic-for-long-eyes', before: 'absent', after: 'fires' },
        ],
      },
      {
        before: before.version,
        after: after.version,
        cases: 1,
        changed: 1,
        unread: 0,
        touched: [
          { id: 'long-slot', gained: 0, lost: 1, otherwise: 0 },
          { id: 'second-clinic-for-long-eyes', gained: 1, lost: 0, otherwise: 0 },
        ],
      },
    ])
  })

  it('changes nothing when the rules are the same', async () => {
    const same = compileRules(shipped)
    await rulesImpact(same, same, trailOf([['MARSH-7', 'h1', await planOf(29.6)]]), { json: false }, terminal)
    expect(terminal.said()).toMatch(/^0 of 1 past plan would change\.\n/)
  })
})

describe('soundings sources', () => {
  it('lists every number of every model with unit, source and how sure', () => {
    expect(sourcesCommand(shipped, { json: false }, terminal)).toBe(0)
    expect(terminal.said()).toContain(
      '  length correction from = 24.2 mm (from memory of the source, awaiting a check in print)\n',
    )
    expect(terminal.said()).toMatch(/Sources of the \d+ precautions and 16 tensions:\n {2,}\d+ read in the source\n/)
  })

  it('gives the same as JSON, its counts adding up', () => {
    expect(sourcesCommand(shipped, { json: true }, terminal)).toBe(0)
    const { models, coefficients, rules } = JSON.parse(terminal.said()) as {
      models: { room: string; coefficients: unknown[] }[]
      coefficients: Record<string, number>
      rules: { version: string; sources: Record<string, number> }
    }
    expect(new Set(models.map(({ room }) => room))).toEqual(new Set(['optics', 'risk', 'surgery']))
    const counted = Object.values(coefficients).reduce((sum, count) => sum + count, 0)
    expect(counted).toBe(models.reduce((sum, model) => sum + model.coefficients.length, 0))
    expect(rules.version).toBe(shipped.version)
    expect(rules.sources['read']).toBeGreaterThan(50)
  })
})
