import { given, type Trigger } from './condition.js'
import type { FactName, FactRecord } from './facts.js'
import { OPERATORS } from './operators.js'

/** Three-valued truth; null where it cannot be decided. */
export type Truth = boolean | null

export type Finding = 'fires' | 'quiet' | 'unknown'

export const findingOf = (truth: Truth): Finding => (truth === null ? 'unknown' : truth ? 'fires' : 'quiet')

/** False as soon as one is false; else unknown as soon as one is unknown. */
export function conjunction(truths: readonly Truth[]): Truth {
  let truth: Truth = true
  for (const each of truths) {
    if (each === false) return false
    if (each === null) truth = null
  }
  return truth
}

/** True as soon as one is true; else unknown as soon as one is unknown. */
export function disjunction(truths: readonly Truth[]): Truth {
  let truth: Truth = false
  for (const each of truths) {
    if (each === true) return true
    if (each === null) truth = null
  }
  return truth
}

export const negation = (truth: Truth): Truth => (truth === null ? null : !truth)

/**
 * The plain walk that the engine's fold and the compiled form are tested against (Kleene's strong three-valued logic).
 * A fact absent from the record is not known.
 */
export function truthOf(trigger: Trigger, facts: Partial<FactRecord>): Truth {
  if ('always' in trigger) return true
  if ('all' in trigger) return conjunction(trigger.all.map((part) => truthOf(part, facts)))
  if ('any' in trigger) return disjunction(trigger.any.map((part) => truthOf(part, facts)))
  if ('not' in trigger) return negation(truthOf(trigger.not, facts))
  const value = given(facts, trigger.fact)
  if (value === null && trigger.operator !== 'isKnown') return null
  return OPERATORS[trigger.operator](value, trigger.value)
}

/** The unknown facts on the branches that are still open: those that would decide an undecided trigger. Sorted, each once. */
export function missingFactsOf(trigger: Trigger, facts: Partial<FactRecord>): readonly FactName[] {
  return [...new Set(openFacts(trigger, facts))].sort()
}

function openFacts(trigger: Trigger, facts: Partial<FactRecord>): readonly FactName[] {
  if ('always' in trigger || truthOf(trigger, facts) !== null) return []
  if ('all' in trigger) return trigger.all.flatMap((part) => openFacts(part, facts))
  if ('any' in trigger) return trigger.any.flatMap((part) => openFacts(part, facts))
  if ('not' in trigger) return openFacts(trigger.not, facts)
  return [trigger.fact]
}
