import { describe, expect, it } from 'vitest'
import { type ConditionResult, fold } from '../../src/precautions/fold.js'

/** A condition as the engine would give it back, or as it never should, with its verdict on the whole. */
const resultOf = (condition: object, result: boolean): ConditionResult => ({ ...condition, result }) as unknown as ConditionResult

const compared = { fact: 'axialLengthMm', operator: 'atLeast', value: 26, factResult: 29, valueResult: 26, result: true }

describe('the fold of an engine result', () => {
  it('takes the comparisons, not the verdict, where a fact is missing', () => {
    const open = { ...compared, fact: 'lensThicknessMm', value: 4.5, factResult: null, result: false }
    expect(fold('a-rule', resultOf({ all: [compared, open] }, false))).toMatchObject({
      finding: 'unknown',
      missingFacts: ['lensThicknessMm'],
    })
  })

  it('throws when the engine skipped a comparison', () => {
    const { result: _, factResult: __, ...skipped } = compared
    expect(() => fold('a-rule', resultOf({ any: [compared, skipped] }, true))).toThrow('PRECAUTIONS.COMPARISON_SKIPPED')
  })

  it('throws when nothing was missing and the engine still says otherwise', () => {
    expect(() => fold('a-rule', resultOf({ all: [compared] }, false))).toThrow('PRECAUTIONS.FOLD_DISAGREES')
  })

  it('throws on a reference to a condition that stands elsewhere', () => {
    expect(() => fold('a-rule', resultOf({ condition: 'elsewhere' }, true))).toThrow('PRECAUTIONS.STRANGE_CONDITION')
  })

  it('throws on an operator or a fact that no rule file may use', () => {
    const strange = [
      { ...compared, operator: 'greaterThan' },
      { ...compared, fact: 'temperature' },
      { ...compared, operator: 'toString' },
    ]
    for (const each of strange)
      expect(() => fold('a-rule', resultOf({ all: [each] }, true))).toThrow('PRECAUTIONS.STRANGE_COMPARISON')
  })
})
