import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { compileRules } from '../../src/precautions/compile.js'
import { evaluateRules } from '../../src/precautions/evaluate.js'
import { ruleSetOf } from '../../src/precautions/rules.js'
import { arbitraryCondition, arbitraryFewFacts, factsWith, ruleAround } from './arbitrary-rules.js'
import { built, SHIPPED_FILES } from './invented-rules.js'

describe('the compiled form', () => {
  it('finds what the engine finds, with the same missing facts, on random rules', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(arbitraryCondition, { minLength: 1, maxLength: 8 }), arbitraryFewFacts, async (rules, facts) => {
        const ruleSet = ruleSetOf(
          rules.map((when, at) => ruleAround(when, `rule-${at}`)),
          [],
          [],
        )
        const compiled = compileRules(ruleSet)
        const { precautions } = await evaluateRules(ruleSet, facts)
        expect(compiled.findings(facts)).toEqual(precautions.map(({ finding }) => finding))
        for (const { id, finding, missingFacts } of precautions) {
          if (finding === 'unknown') expect(compiled.missingFacts(id, facts)).toEqual(missingFacts)
        }
      }),
      { numRuns: 300, seed: 20_005 },
    )
  })

  it('answers for tensions after the precautions, and carries the version of its rules', async () => {
    const ruleSet = await built(SHIPPED_FILES)
    const compiled = compileRules(ruleSet)
    expect(compiled.version).toBe(ruleSet.version)
    expect(compiled.ids.at(-1)).toBe('low-pressure-or-a-stable-chamber')
    expect(compiled.findings(factsWith({ axialLengthMm: 30, nucleusBand: 'black' })).at(-1)).toBe('fires')
    expect(compiled.findings(factsWith({ axialLengthMm: 30 })).at(-1)).toBe('unknown')
    expect(compiled.missingFacts('low-pressure-or-a-stable-chamber', factsWith({ axialLengthMm: 30 }))).toEqual(['nucleusBand'])
  })
})
