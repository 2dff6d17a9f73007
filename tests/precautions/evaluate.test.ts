import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Plan, planSchema } from '../../src/plan/plan.js'
import type { Condition } from '../../src/precautions/condition.js'
import { decide, decideAll } from '../../src/precautions/engine-run.js'
import { evaluateRules } from '../../src/precautions/evaluate.js'
import type { FactRecord } from '../../src/precautions/facts.js'
import { missingFactsOf, truthOf } from '../../src/precautions/kleene.js'
import { ruleSetOf } from '../../src/precautions/rules.js'
import { arbitraryCondition, arbitraryFewFacts, factsWith, ruleAround } from './arbitrary-rules.js'

const LONG_EYE_NEEDLE: Condition = {
  all: [
    { fact: 'axialLengthMm', operator: 'atLeast', value: 26 },
    { fact: 'anaesthesia', operator: 'isOneOf', value: ['peribulbar', 'retrobulbar'] },
  ],
}

const findingOf = async (when: Condition, facts: Partial<FactRecord>) => {
  const { precautions } = await evaluateRules(ruleSetOf([ruleAround(when)], [], []), factsWith(facts))
  return precautions.map(({ finding, missingFacts }) => ({ finding, missingFacts }))
}

describe('a precaution', () => {
  it('fires when its condition holds', async () => {
    expect(await findingOf(LONG_EYE_NEEDLE, { axialLengthMm: 29.6, anaesthesia: 'peribulbar' })).toEqual([
      { finding: 'fires', missingFacts: [] },
    ])
  })

  it('is quiet as soon as one known fact rules it out, whatever is missing', async () => {
    expect(await findingOf(LONG_EYE_NEEDLE, { axialLengthMm: 23 })).toEqual([{ finding: 'quiet', missingFacts: [] }])
  })

  it('is unknown when a missing fact would decide it, and names only that fact', async () => {
    expect(await findingOf(LONG_EYE_NEEDLE, { axialLengthMm: 29.6 })).toEqual([
      { finding: 'unknown', missingFacts: ['anaesthesia'] },
    ])
  })

  it('does not name a missing fact on a branch that is already decided', async () => {
    const when: Condition = {
      all: [
        {
          any: [
            { fact: 'glaucoma', operator: 'is', value: true },
            { fact: 'steroidResponder', operator: 'is', value: true },
          ],
        },
        { fact: 'onlyEye', operator: 'is', value: true },
      ],
    }
    expect(await findingOf(when, { glaucoma: true })).toEqual([{ finding: 'unknown', missingFacts: ['onlyEye'] }])
  })

  it('stays unknown under not, where the engine alone would fire on a missing fact', async () => {
    const when: Condition = { not: { fact: 'axialLengthMm', operator: 'below', value: 26 } }
    expect(await findingOf(when, {})).toEqual([{ finding: 'unknown', missingFacts: ['axialLengthMm'] }])
  })

  it('may fire because a fact is missing, when it asks for exactly that', async () => {
    const when: Condition = { fact: 'endothelialCellDensityPerMm2', operator: 'isKnown', value: false }
    expect(await findingOf(when, {})).toEqual([{ finding: 'fires', missingFacts: [] }])
    expect(await findingOf(when, { endothelialCellDensityPerMm2: 2400 })).toEqual([{ finding: 'quiet', missingFacts: [] }])
  })

  it('shares its sources with later findings, so nobody can change them', async () => {
    const { precautions } = await evaluateRules(ruleSetOf([ruleAround(LONG_EYE_NEEDLE)], [], []), factsWith({}))
    expect(() => precautions[0]?.sources.pop()).toThrow(TypeError)
  })

  it('has the shape that a plan stores', async () => {
    const { precautions, tensions } = await evaluateRules(
      ruleSetOf([{ ...ruleAround(LONG_EYE_NEEDLE), advice: 'needle-block' }], [], []),
      factsWith({}),
    )
    const stored: Pick<Plan, 'precautions' | 'tensions'> = { precautions, tensions }
    expect(planSchema.pick({ precautions: true, tensions: true }).parse(stored)).toEqual(stored)
  })
})

describe('a tension', () => {
  const ruleSet = ruleSetOf(
    [],
    [
      {
        id: 'pressure',
        step: 'nucleus',
        question: 'Low or high?',
        sides: [
          {
            pull: 'low',
            when: { fact: 'axialLengthMm', operator: 'atLeast', value: 26 },
            precautions: [],
            sources: [{ cite: 'A', year: 2000, sureness: 'read', supports: 'low' }],
          },
          {
            pull: 'high',
            when: { fact: 'nucleusBand', operator: 'isOneOf', value: ['very-hard', 'black'] },
            precautions: [],
            sources: [{ cite: 'B', year: 2001, sureness: 'read', supports: 'high' }],
          },
        ],
        examples: { fires: [{}], quiet: [{}] },
        layer: 'shipped',
      },
    ],
    [],
  )

  it('is shown when both sides fire, with the sources of both', async () => {
    const { tensions } = await evaluateRules(ruleSet, factsWith({ axialLengthMm: 30, nucleusBand: 'black' }))
    expect(tensions).toEqual([
      {
        id: 'pressure',
        step: 'nucleus',
        question: 'Low or high?',
        sides: [
          { pull: 'low', sources: [{ cite: 'A', year: 2000, sureness: 'read' }] },
          { pull: 'high', sources: [{ cite: 'B', year: 2001, sureness: 'read' }] },
        ],
      },
    ])
  })

  it('is not shown when one side is quiet', async () => {
    const { tensions, openTensions } = await evaluateRules(ruleSet, factsWith({ axialLengthMm: 23, nucleusBand: 'black' }))
    expect([tensions, openTensions]).toEqual([[], []])
  })

  it('is open when a missing fact would decide it', async () => {
    const { tensions, openTensions } = await evaluateRules(ruleSet, factsWith({ axialLengthMm: 30 }))
    expect(tensions).toEqual([])
    expect(openTensions).toEqual([{ id: 'pressure', missingFacts: ['nucleusBand'] }])
  })
})

describe('a run of the engine', () => {
  const many = ruleSetOf(
    Array.from({ length: 60 }, (_, at) => ruleAround(LONG_EYE_NEEDLE, `rule-${at}`)),
    [],
    [],
  )

  it('is complete when twenty run at the same time', async () => {
    const runs = Array.from({ length: 20 }, (_, at) => evaluateRules(many, factsWith({ axialLengthMm: 20 + at })))
    const findings = await Promise.all(runs)
    for (const [at, { precautions }] of findings.entries()) {
      expect(precautions).toHaveLength(60)
      const expected = 20 + at >= 26 ? 'unknown' : 'quiet'
      expect(new Set(precautions.map(({ finding }) => finding))).toEqual(new Set([expected]))
    }
  })

  it('asks the engine once for a condition that many rules share, and answers for each of them', async () => {
    const decisions = await decideAll(many, factsWith({ axialLengthMm: 29.6, anaesthesia: 'peribulbar' }))
    expect([...decisions.keys()]).toHaveLength(60)
    expect(new Set([...decisions.values()].map(({ id }) => id)).size).toBe(1)
    expect([...decisions.values()].every(({ finding }) => finding === 'fires')).toBe(true)
  })

  it('answers in the order of the ids, whatever order the rules came in', async () => {
    const { precautions } = await evaluateRules(many, factsWith({}))
    const ids = precautions.map(({ id }) => id)
    expect(ids).toEqual(ids.toSorted())
  })

  it('refuses two rules of the same name instead of losing one', async () => {
    const twice = [
      { id: 'same', trigger: LONG_EYE_NEEDLE },
      { id: 'same', trigger: LONG_EYE_NEEDLE },
    ]
    await expect(decide(twice, factsWith({}))).rejects.toMatchObject({ code: 'PRECAUTIONS.RULES_MISCOUNTED' })
  })

  it('refuses a record that leaves a fact out, is not a number, or names no known choice', async () => {
    const { glaucoma: _, ...short } = factsWith({})
    await expect(evaluateRules(many, short as FactRecord)).rejects.toMatchObject({ code: 'PRECAUTIONS.FACT_ABSENT' })
    const wrong = [{ axialLengthMm: Number.NaN }, { axialLengthMm: '29.6' }, { anaesthesia: 'needle' }, { glaucoma: 'yes' }]
    for (const facts of wrong) {
      await expect(evaluateRules(many, factsWith(facts))).rejects.toMatchObject({ code: 'PRECAUTIONS.FACT_OF_WRONG_KIND' })
    }
  })

  it('folds to the same truth and the same missing facts as the plain three-valued walk, on random rules', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(arbitraryCondition, { minLength: 1, maxLength: 20 }), arbitraryFewFacts, async (rules, facts) => {
        const folded = await decide(
          rules.map((trigger, at) => ({ id: `rule-${at}`, trigger })),
          facts,
        )
        for (const [at, trigger] of rules.entries()) {
          const { truth, missingFacts } = folded.get(`rule-${at}`) ?? { truth: undefined, missingFacts: [] }
          expect(truth).toBe(truthOf(trigger, facts))
          expect(missingFacts).toEqual(missingFactsOf(trigger, facts))
        }
      }),
      { numRuns: 400, seed: 20_001 },
    )
  })
})
