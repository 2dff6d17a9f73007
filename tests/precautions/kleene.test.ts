import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Condition, literalsOf } from '../../src/precautions/condition.js'
import type { FactName, FactRecord } from '../../src/precautions/facts.js'
import { conjunction, disjunction, negation, type Truth, truthOf } from '../../src/precautions/kleene.js'
import { reach, tangledFacts } from '../../src/precautions/one-value-per-fact.js'
import { arbitraryCondition, arbitraryFewFacts, completionsOf } from './arbitrary-rules.js'

describe('three-valued logic', () => {
  /** The strong tables of Kleene, Introduction to Metamathematics (1952), section 64; from memory, written out in full. */
  const T = true
  const F = false
  const U = null
  it.each<[Truth, Truth, Truth, Truth]>([
    [T, T, T, T],
    [T, F, F, T],
    [T, U, U, T],
    [F, T, F, T],
    [F, F, F, F],
    [F, U, F, U],
    [U, T, U, T],
    [U, F, F, U],
    [U, U, U, U],
  ])('%s with %s: all %s, any %s', (one, other, all, any) => {
    expect(conjunction([one, other])).toBe(all)
    expect(disjunction([one, other])).toBe(any)
  })

  it('turns true into false and leaves unknown unknown', () => {
    expect([T, F, U].map(negation)).toEqual([F, T, U])
  })
})

/** Every way to fill in the unknown facts of a rule; what `isKnown` asks stays judged on the record as it is. */
function* completions(when: Condition, facts: FactRecord): Generator<Partial<FactRecord>> {
  const open = [...new Set(literalsOf(when).map(({ comparison }) => comparison.fact))].filter((fact) => facts[fact] === null)
  yield* filled(when, open, facts)
}
function* filled(when: Condition, open: readonly FactName[], facts: FactRecord): Generator<FactRecord> {
  const [first, ...rest] = open
  if (first === undefined) {
    yield facts
    return
  }
  const thresholds = literalsOf(when).flatMap(({ comparison }) =>
    comparison.fact === first ? [comparison.value].flat().filter((value) => typeof value === 'number') : [],
  )
  for (const value of completionsOf(first, thresholds)) yield* filled(when, rest, { ...facts, [first]: value })
}

/** Two-valued truth of a completed record, `isKnown` decided by the record before it was completed. */
function classical(when: Condition, complete: Partial<FactRecord>, before: FactRecord): boolean {
  if ('all' in when) return when.all.every((part) => classical(part, complete, before))
  if ('any' in when) return when.any.some((part) => classical(part, complete, before))
  if ('not' in when) return !classical(when.not, complete, before)
  return truthOf(when, when.operator === 'isKnown' ? before : complete) === true
}

describe('a rule in which one value satisfies, and one refutes, all that is said of each fact', () => {
  it('is unknown exactly when some completion fires and some stays quiet', () => {
    let linted = 0
    let open = 0
    fc.assert(
      fc.property(arbitraryCondition, arbitraryFewFacts, (when, facts) => {
        if (tangledFacts(when).length > 0) return
        linted += 1
        const outcomes = new Set<boolean>()
        for (const complete of completions(when, facts)) outcomes.add(classical(when, complete, facts))
        const truth = truthOf(when, facts)
        if (truth === null) open += 1
        expect(truth).toBe(outcomes.size === 2 ? null : outcomes.has(true))
      }),
      { numRuns: 6000, seed: 20_003 },
    )
    expect(linted).toBeGreaterThan(2000)
    expect(open).toBeGreaterThan(300)
  })

  it('is what keeps the logic exact: without it a rule that can never fire is called unknown', () => {
    const when: Condition = {
      all: [
        { fact: 'axialLengthMm', operator: 'below', value: 22 },
        { fact: 'axialLengthMm', operator: 'above', value: 27 },
      ],
    }
    expect(truthOf(when, {})).toBe(null)
    expect(tangledFacts(when)).toHaveLength(1)
  })

  it('can fire and can stay quiet, unless it asks whether a fact is known', () => {
    fc.assert(
      fc.property(arbitraryCondition, (when) => {
        if (tangledFacts(when).length > 0) return
        if (literalsOf(when).some(({ comparison }) => comparison.operator === 'isKnown')) return
        expect(reach(when)).toEqual({ canFire: true, canStayQuiet: true })
      }),
      { numRuns: 2000, seed: 20_004 },
    )
  })
})
