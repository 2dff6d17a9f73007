import { signed } from '../terms/power.js'
import type { Comparison, OperatorName, Threshold, Trigger } from './condition.js'
import type { FactName, FactValue } from './facts.js'
import { termOf } from './read-condition.js'

/** What a rule fires on, in one sentence with units: "axial length at least 26 mm; and (…; or …)". */
export function triggerInWords(trigger: Trigger): string {
  if ('always' in trigger) return 'every operation'
  if ('all' in trigger) return joined(trigger.all, '; and ')
  if ('any' in trigger) return joined(trigger.any, '; or ')
  if ('not' in trigger) return `not (${triggerInWords(trigger.not)})`
  return comparisonInWords(trigger)
}

function joined(parts: readonly Trigger[], word: string): string {
  if (parts.length === 1) return parts.map(triggerInWords).join('')
  return parts.map((part) => (isList(part) ? `(${triggerInWords(part)})` : triggerInWords(part))).join(word)
}

const isList = (trigger: Trigger): boolean =>
  ('all' in trigger && trigger.all.length > 1) || ('any' in trigger && trigger.any.length > 1)

function comparisonInWords({ fact, operator, value }: Comparison): string {
  const { label } = termOf(fact)
  if (operator === 'is' || operator === 'isOneOf') return `${label}: ${valuesInWords(fact, value)}`
  return `${label} ${thresholdInWords(fact, operator, value)}`
}

/** What a comparison asks of a fact: "at least 26 mm", "peribulbar or retrobulbar". */
export function thresholdInWords(fact: FactName, operator: OperatorName, threshold: Threshold): string {
  if (operator === 'isKnown') return threshold === true ? 'known' : 'not known'
  if (operator === 'between') {
    const [low, high] = Array.isArray(threshold) ? threshold.map((each: string | number) => valueInWords(fact, each)) : []
    return `from ${low} to below ${high}`
  }
  const values = valuesInWords(fact, threshold)
  return operator === 'isOneOf' ? values : `${OPERATOR_WORDS[operator]} ${values}`
}

const OPERATOR_WORDS = { atLeast: 'at least', above: 'above', atMost: 'at most', below: 'below', is: 'is' } as const

const valuesInWords = (fact: FactName, threshold: Threshold): string =>
  (Array.isArray(threshold) ? threshold : [threshold])
    .map((each: string | number | boolean) => valueInWords(fact, each))
    .join(' or ')

/** A value of a fact with its unit; the sign is written out where the fact can be negative. Ten digits, so that a difference of two decimals reads as one. */
export function valueInWords(fact: FactName, value: FactValue): string {
  const term = termOf(fact)
  if (value === null) return 'not known'
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  if (term.kind !== 'number' || typeof value !== 'number') return String(value)
  return term.low < 0 ? `${signed(value, 2)} ${term.unit}` : `${Number(value.toPrecision(10))} ${term.unit}`
}
