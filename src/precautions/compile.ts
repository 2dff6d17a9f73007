import type { Comparison, Trigger } from './condition.js'
import type { FactName, FactRecord } from './facts.js'
import { type Finding, missingFactsOf } from './kleene.js'
import { questionsOf, type RuleSet } from './rules.js'

/** Kleene's values as numbers, so that `all` is the least, `any` the greatest, and `not` what is left to two. */
const QUIET = 0
const UNKNOWN = 1
const FIRES = 2
type Verdict = typeof QUIET | typeof UNKNOWN | typeof FIRES
type Decider = (facts: FactRecord) => Verdict

const WORDS = ['quiet', 'unknown', 'fires'] as const satisfies readonly Finding[]

export interface CompiledRules {
  readonly version: string
  /** Ids in the order of the findings: every precaution, then every tension. */
  readonly ids: readonly string[]
  /** What each of `ids` comes to for one record. Meant for running a changed rule set over many past cases. */
  readonly findings: (facts: FactRecord) => readonly Finding[]
  /** The facts that would decide what is open. */
  readonly missingFacts: (id: string, facts: FactRecord) => readonly FactName[]
}

/**
 * The rules as closures over a fact record. Findings are the same as the engine's, which the live plan stands on.
 * @param ruleSet as built by `buildRuleSet`
 */
export function compileRules(ruleSet: RuleSet): CompiledRules {
  const triggers = new Map<string, Trigger>(questionsOf(ruleSet).map(({ id, trigger }) => [id, trigger]))
  const precautions = ruleSet.precautions.map(({ id, when }) => ({ id, decide: compile(when) }))
  const tensions = ruleSet.tensions.map(({ id, sides }) => {
    const when: Trigger = { all: sides.map((side) => side.when) }
    triggers.set(id, when)
    return { id, decide: compile(when) }
  })
  const all = [...precautions, ...tensions]
  const deciders = all.map(({ decide }) => decide)
  return {
    version: ruleSet.version,
    ids: all.map(({ id }) => id),
    findings: (facts) => deciders.map((decide) => WORDS[decide(facts)]),
    missingFacts: (id, facts) => {
      const trigger = triggers.get(id)
      return trigger === undefined ? [] : missingFactsOf(trigger, facts)
    },
  }
}

function compile(trigger: Trigger): Decider {
  if ('always' in trigger) return () => FIRES
  if ('all' in trigger) return least(trigger.all.map(compile))
  if ('any' in trigger) return greatest(trigger.any.map(compile))
  if ('not' in trigger) return opposite(compile(trigger.not))
  return compare(trigger)
}

function least(parts: readonly Decider[]): Decider {
  return (facts) => {
    let verdict: Verdict = FIRES
    for (const part of parts) {
      const each = part(facts)
      if (each === QUIET) return QUIET
      if (each < verdict) verdict = each
    }
    return verdict
  }
}

function greatest(parts: readonly Decider[]): Decider {
  return (facts) => {
    let verdict: Verdict = QUIET
    for (const part of parts) {
      const each = part(facts)
      if (each === FIRES) return FIRES
      if (each > verdict) verdict = each
    }
    return verdict
  }
}

const opposite =
  (part: Decider): Decider =>
  (facts) => {
    const verdict = part(facts)
    return verdict === UNKNOWN ? UNKNOWN : verdict === FIRES ? QUIET : FIRES
  }

const verdict = (holds: boolean): Verdict => (holds ? FIRES : QUIET)

function compare(comparison: Comparison): Decider {
  const { fact } = comparison
  switch (comparison.operator) {
    case 'atLeast':
      return number(fact, comparison.value, (given, threshold) => given >= threshold)
    case 'above':
      return number(fact, comparison.value, (given, threshold) => given > threshold)
    case 'atMost':
      return number(fact, comparison.value, (given, threshold) => given <= threshold)
    case 'below':
      return number(fact, comparison.value, (given, threshold) => given < threshold)
    case 'between': {
      const [low, high] = comparison.value
      return number(fact, low, (given, threshold) => given >= threshold && given < high)
    }
    case 'is': {
      const { value } = comparison
      return (facts) => (facts[fact] === null ? UNKNOWN : verdict(facts[fact] === value))
    }
    case 'isOneOf': {
      const values: ReadonlySet<unknown> = new Set(comparison.value)
      return (facts) => (facts[fact] === null ? UNKNOWN : verdict(values.has(facts[fact])))
    }
    case 'isKnown': {
      const { value } = comparison
      return (facts) => verdict((facts[fact] !== null) === value)
    }
  }
}

function number(fact: FactName, threshold: number, test: (given: number, threshold: number) => boolean): Decider {
  return (facts) => {
    const given = facts[fact]
    return typeof given === 'number' ? verdict(test(given, threshold)) : UNKNOWN
  }
}
