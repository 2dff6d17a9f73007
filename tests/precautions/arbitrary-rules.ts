import fc from 'fast-check'
import type { Comparison, Condition } from '../../src/precautions/condition.js'
import { FACTS, type FactName, type FactRecord, type FactValue } from '../../src/precautions/facts.js'
import { FACT_NAMES, termOf } from '../../src/precautions/read-condition.js'
import type { LayeredRule } from '../../src/precautions/rules.js'

/** A record in which nothing is known, with what is given laid over it. */
export const factsWith = (given: Partial<FactRecord>): FactRecord => ({
  ...(Object.fromEntries(FACT_NAMES.map((fact) => [fact, null])) as FactRecord),
  ...given,
})

/** A few facts of every kind: enough for rules to meet the same fact twice. */
const FEW: readonly FactName[] = ['axialLengthMm', 'targetRefractionD', 'nucleusBand', 'zonules', 'onlyEye', 'glaucoma']

const anyValueOf = (fact: FactName): fc.Arbitrary<NonNullable<FactValue>> => {
  const term = termOf(fact)
  if (term.kind === 'yes-no') return fc.boolean()
  if (term.kind === 'choice') return fc.constantFrom(...term.values)
  return fc.integer({ min: Math.ceil(term.low), max: Math.floor(term.high) })
}

const comparisonOf = (fact: FactName): fc.Arbitrary<Comparison> => {
  const term = termOf(fact)
  const known = fc.record({ fact: fc.constant(fact), operator: fc.constant('isKnown' as const), value: fc.boolean() })
  if (term.kind === 'yes-no') {
    const is = fc.record({ fact: fc.constant(fact), operator: fc.constant('is' as const), value: fc.boolean() })
    return fc.oneof({ arbitrary: is, weight: 6 }, { arbitrary: known, weight: 1 })
  }
  if (term.kind === 'choice') {
    const choice = fc.constantFrom(...term.values)
    const is = fc.record({ fact: fc.constant(fact), operator: fc.constant('is' as const), value: choice })
    const some = fc.uniqueArray(choice, { minLength: 2, maxLength: term.values.length })
    const isOneOf = fc.record({ fact: fc.constant(fact), operator: fc.constant('isOneOf' as const), value: some })
    return fc.oneof({ arbitrary: is, weight: 3 }, { arbitrary: isOneOf, weight: 3 }, { arbitrary: known, weight: 1 })
  }
  const threshold = fc.integer({ min: Math.ceil(term.low) + 1, max: Math.floor(term.high) - 2 })
  const order = fc.record({
    fact: fc.constant(fact),
    operator: fc.constantFrom('atLeast' as const, 'above' as const, 'atMost' as const, 'below' as const),
    value: threshold,
  })
  const between = fc.record({
    fact: fc.constant(fact),
    operator: fc.constant('between' as const),
    value: threshold.map((low): readonly [number, number] => [low, low + 2]),
  })
  return fc.oneof({ arbitrary: order, weight: 5 }, { arbitrary: between, weight: 2 }, { arbitrary: known, weight: 1 })
}

const comparison = fc.constantFrom(...FEW).chain(comparisonOf)

export const arbitraryCondition: fc.Arbitrary<Condition> = fc.letrec<{ condition: Condition }>((tie) => ({
  condition: fc.oneof(
    { depthSize: 'small', withCrossShrink: true },
    comparison,
    fc.record({ all: fc.array(tie('condition'), { minLength: 1, maxLength: 3 }) }),
    fc.record({ any: fc.array(tie('condition'), { minLength: 1, maxLength: 3 }) }),
    fc.record({ not: tie('condition') }),
  ),
})).condition

/** A record over the few facts, each known or not, the rest not known. */
export const arbitraryFewFacts: fc.Arbitrary<FactRecord> = arbitraryRecord(FEW)

/** A record over every declared fact, each known or not. */
export const arbitraryFacts: fc.Arbitrary<FactRecord> = arbitraryRecord(FACT_NAMES)

function arbitraryRecord(facts: readonly FactName[]): fc.Arbitrary<FactRecord> {
  const values = facts.map((fact) => fc.option(anyValueOf(fact), { nil: null, freq: 2 }).map((value) => [fact, value] as const))
  return fc.tuple(...values).map((pairs) => factsWith(Object.fromEntries(pairs)))
}

/** A rule around a condition, its wording of no interest to the test. */
export const ruleAround = (when: LayeredRule['when'], id = 'a-rule'): LayeredRule => ({
  id,
  theme: 'retina',
  step: 'assessment',
  indicator: 'info',
  place: 'eye',
  harm: 5,
  changeableBefore: true,
  when,
  text: 'Look again.',
  why: 'The test asks.',
  ask: 'What was seen?',
  evidence: 'convention',
  sources: [{ cite: 'common practice', sureness: 'convention', supports: 'nothing' }],
  examples: { fires: [{}], quiet: [{}] },
  layer: 'shipped',
})

/** Values that tell every two comparisons of a fact apart: each threshold, the gaps between them, both ends. */
export function completionsOf(fact: FactName, thresholds: readonly number[]): readonly NonNullable<FactValue>[] {
  const term = FACTS[fact]
  if (term.kind === 'yes-no') return [true, false]
  if (term.kind === 'choice') return term.values
  const sorted = [...new Set([term.low, ...thresholds, term.high])].sort((one, other) => one - other)
  return sorted.flatMap((value, at) => [value, (value + (sorted[at + 1] ?? value)) / 2])
}
