import { describe, expect, it } from 'vitest'
import { loadRuleSet } from '../../adapters/rules-folder.js'
import type { Condition, Trigger } from '../../src/precautions/condition.js'
import type { FactRecord } from '../../src/precautions/facts.js'
import { findingOf, truthOf } from '../../src/precautions/kleene.js'
import { bothSides } from '../../src/precautions/lint.js'
import type { RuleSet } from '../../src/precautions/rules.js'
import { removedConditions } from './removed-conditions.js'

const A: Condition = { fact: 'glaucoma', operator: 'is', value: true }
const B: Condition = { fact: 'onlyEye', operator: 'is', value: true }
const C: Condition = { fact: 'amblyopia', operator: 'is', value: true }

describe('taking one condition out', () => {
  it.each<[string, Trigger, readonly Trigger[]]>([
    ['of a list', { all: [A, B] }, [{ all: [B] }, { all: [A] }]],
    ['alone', A, [{ always: true }]],
    [
      'of a list within',
      { all: [A, { any: [B, C] }] },
      [{ all: [{ any: [B, C] }] }, { all: [A] }, { all: [A, { any: [C] }] }, { all: [A, { any: [B] }] }],
    ],
    ['under not', { all: [A, { not: B }] }, [{ all: [{ not: B }] }, { all: [A] }]],
    ['of the checklist, which has none', { always: true }, []],
  ])('%s', (_, trigger, left) => {
    expect(new Set(removedConditions(trigger).map((each) => JSON.stringify(each)))).toEqual(
      new Set(left.map((each) => JSON.stringify(each))),
    )
  })
})

type Examples = Readonly<Partial<Record<'fires' | 'quiet' | 'unknown', readonly Partial<FactRecord>[] | undefined>>>

const holds = (trigger: Trigger, examples: Examples): boolean =>
  (['fires', 'quiet', 'unknown'] as const).every((claimed) =>
    (examples[claimed] ?? []).every((facts) => findingOf(truthOf(trigger, facts)) === claimed),
  )

interface Mutants {
  readonly made: number
  readonly survived: readonly string[]
}

function mutantsOf(rules: readonly { readonly id: string; readonly trigger: Trigger; readonly examples: Examples }[]): Mutants {
  const mutants = rules.flatMap(({ id, trigger, examples }) =>
    removedConditions(trigger).map((left) => ({ words: `${id}: ${JSON.stringify(left)}`, survived: holds(left, examples) })),
  )
  return { made: mutants.length, survived: mutants.filter(({ survived }) => survived).map(({ words }) => words) }
}

describe('the examples in the shipped rules', async () => {
  const outcome = await loadRuleSet('rules')
  const ruleSet: RuleSet | undefined = outcome.kind === 'rules' ? outcome.ruleSet : undefined

  it('notice every condition that is taken out of a precaution', () => {
    const { made, survived } = mutantsOf(
      (ruleSet?.precautions ?? []).map(({ id, when, examples }) => ({ id, trigger: when, examples })),
    )
    console.info(`precautions: ${made - survived.length} of ${made} removed conditions were noticed`)
    expect(made).toBeGreaterThan(100)
    expect(survived).toEqual([])
  })

  it('notice every condition that is taken out of a tension', () => {
    const tensions = (ruleSet?.tensions ?? []).map((tension) => ({
      id: tension.id,
      trigger: bothSides(tension),
      examples: tension.examples,
    }))
    const { made, survived } = mutantsOf(tensions)
    console.info(`tensions: ${made - survived.length} of ${made} removed conditions were noticed`)
    expect(made).toBeGreaterThan(30)
    expect(survived).toEqual([])
  })
})
