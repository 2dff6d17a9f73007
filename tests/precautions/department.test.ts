import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { loadRuleSet } from '../../adapters/rules-folder.js'
import { makePlan, type PlanGround } from '../../src/plan/make-plan.js'
import type { Plan } from '../../src/plan/plan.js'
import type { RuleSet } from '../../src/precautions/rules.js'
import { longBrownEye } from '../plan/a-case.js'
import { departmentFolder, UNIT } from './a-department.js'

const loaded = async (folder?: string): Promise<RuleSet> => {
  const outcome = await loadRuleSet('rules', folder)
  if (outcome.kind === 'rules') return outcome.ruleSet
  throw new Error(outcome.faults.map(({ file, line, message }) => `${file}:${line}: ${message}`).join('\n'))
}

const planOn = (ruleSet: RuleSet): Promise<Plan> => {
  const ground: PlanGround = { soundings: '0.0.0', ruleSet }
  return makePlan(longBrownEye(), ground)
}

const precaution = (plan: Plan, id: string) => plan.precautions.find((each) => each.id === id)

describe('a department that lays its rules over the shipped ones', () => {
  const department = departmentFolder()
  let shipped: RuleSet
  let changed: RuleSet
  beforeAll(async () => {
    shipped = await loaded()
    changed = await loaded(department.path)
  })
  afterAll(department.remove)

  it('speaks in the plan under its own name, and only where it changed something', async () => {
    const plan = await planOn(changed)
    expect(precaution(plan, 'backup-lens')).toMatchObject({ indicator: 'critical', finding: 'fires', layer: UNIT })
    expect(precaution(plan, 'hyperopic-surprise')).toMatchObject({
      indicator: 'warning',
      layer: UNIT,
      text: expect.stringContaining('0.5 D more myopic'),
    })
    expect(precaution(plan, 'second-clinic-for-long-eyes')).toMatchObject({ finding: 'fires', layer: UNIT })
    const theirs = plan.precautions.filter(({ layer }) => layer !== 'shipped').map(({ id }) => id)
    expect(theirs).toEqual(['backup-lens', 'hyperopic-surprise', 'second-clinic-for-long-eyes'])
  })

  it('hears nothing more of what it switched off, and the rule set keeps the reason', async () => {
    expect(precaution(await planOn(shipped), 'long-slot')).toMatchObject({ finding: 'fires' })
    expect(precaution(await planOn(changed), 'long-slot')).toBeUndefined()
    expect(changed.switchedOff).toEqual([{ id: 'long-slot', layer: UNIT, because: 'every list of ours has long slots' }])
  })

  it('leaves the shipped rules and every plan made on them as they were', async () => {
    const before = await planOn(shipped)
    const kept = JSON.stringify(before)
    const after = await planOn(changed)
    expect(JSON.stringify(before)).toBe(kept)
    expect(JSON.stringify(await planOn(await loaded()))).toBe(kept)
    expect(before.versions.rules).toBe(shipped.version)
    expect(after.versions.rules).toBe(changed.version)
    expect(after.versions.rules).not.toBe(before.versions.rules)
  })

  it('has the same version for the same content, whatever the files are called', async () => {
    const again = departmentFolder({
      'a.json': { layer: UNIT, indicator: 'critical', override: 'backup-lens' },
    })
    const once = departmentFolder({ 'zz.json': { override: 'backup-lens', layer: UNIT, indicator: 'critical' } })
    try {
      expect((await loaded(again.path)).version).toBe((await loaded(once.path)).version)
    } finally {
      again.remove()
      once.remove()
    }
  })

  it('is named in the plan as having approved its rules, while they are exactly those it approved', async () => {
    const signOff = { who: 'A. Lead (invented)', role: 'clinical lead', when: '2026-03-01', hash: changed.version }
    const later = { ...signOff, who: 'B. Deputy (invented)', role: 'deputy', when: '2026-03-08' }
    const versionsOn = async (ruleSet: RuleSet, ruleSignOffs: PlanGround['ruleSignOffs']) =>
      (await makePlan(longBrownEye(), { soundings: '0.0.0', ruleSet, ruleSignOffs })).versions
    expect(await versionsOn(changed, [signOff])).toMatchObject({
      rulesApproved: { by: 'A. Lead (invented)', role: 'clinical lead', on: '2026-03-01' },
    })
    expect(await versionsOn(changed, [signOff, later])).toMatchObject({ rulesApproved: { by: 'B. Deputy (invented)' } })
    expect(await versionsOn(shipped, [signOff])).not.toHaveProperty('rulesApproved')
    expect(await versionsOn(changed, undefined)).not.toHaveProperty('rulesApproved')
  })

  it('can copy what the page of the rules shows for a change', async () => {
    const shownChanges = [...readFileSync('rules/README.md', 'utf8').matchAll(/`(\{ "override".*\})`/g)].map(
      ([, json]) => json ?? '',
    )
    expect(shownChanges).toHaveLength(2)
    for (const json of shownChanges) {
      const copied = departmentFolder({ 'change.json': JSON.parse(json) as unknown })
      try {
        expect((await loaded(copied.path)).version).not.toBe(shipped.version)
      } finally {
        copied.remove()
      }
    }
  })
})
