import type { RuleResult, TopLevelConditionResult } from 'json-rules-engine'
import { describe, expect, it } from 'vitest'
import { fold } from '../../src/precautions/fold.js'

/** A result as the engine would give it, or as it never should. */
const resultOf = (conditions: TopLevelConditionResult, result: boolean): RuleResult =>
  ({ name: 'a-rule', conditions, result, event: { type: 'decided' } }) as unknown as RuleResult

const compared = { fact: 'axialLengthMm', operator: 'atLeast', value: 26, factResult: 29, valueResult: 26, result: true }

describe('the fold of an engine result', () => {
  it('takes the comparisons, not the verdict, where a fact is missing', () => {
    const open = { ...compared, fact: 'lensThicknessMm', value: 4.5, factResult: null, result: false }
    expect(fold(resultOf({ all: [compared, open] }, false))).toMatchObject({
      finding: 'unknown',
      missingFacts: ['lensThicknessMm'],
    })
  })

  it('throws when the engine skipped a comparison', () => {
    const { result: _, factResult: __, ...skipped } = compared
    expect(() => fold(resultOf({ any: [compared, skipped] }, true))).toThrow('PRECAUTIONS.COMPARISON_SKIPPED')
  })

  it('throws when nothing was missing and the engine still says otherwise', () => {
    expect(() => fold(resultOf({ all: [compared] }, false))).toThrow('PRECAUTIONS.FOLD_DISAGREES')
  })

  it('throws on a reference to a condition that stands elsewhere', () => {
    expect(() => fold(resultOf({ condition: 'elsewhere' }, true))).toThrow('PRECAUTIONS.STRANGE_CONDITION')
  })

  it('throws on an operator or a fact that no rule file may use', () => {
    const strange = [
      { ...compared, operator: 'greaterThan' },
      { ...compared, fact: 'temperature' },
      { ...compared, operator: 'toString' },
    ]
    for (const each of strange) expect(() => fold(resultOf({ all: [each] }, true))).toThrow('PRECAUTIONS.STRANGE_COMPARISON')
  })
})
