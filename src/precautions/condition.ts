import type { FactName, FactRecord, FactTerm, FactValue } from './facts.js'

/** What a rule file may say of one fact. `isKnown` alone speaks of the record itself, not of the eye. */
export type Comparison =
  | { readonly fact: FactName; readonly operator: 'atLeast' | 'above' | 'atMost' | 'below'; readonly value: number }
  /** Low inclusive, high exclusive, so that neighbouring bands neither overlap nor leave a hole. */
  | { readonly fact: FactName; readonly operator: 'between'; readonly value: readonly [low: number, high: number] }
  | { readonly fact: FactName; readonly operator: 'is'; readonly value: string | boolean }
  | { readonly fact: FactName; readonly operator: 'isOneOf'; readonly value: readonly string[] }
  | { readonly fact: FactName; readonly operator: 'isKnown'; readonly value: boolean }

export type OperatorName = Comparison['operator']
export type Threshold = Comparison['value']

export type Condition =
  | Comparison
  | { readonly all: readonly Condition[] }
  | { readonly any: readonly Condition[] }
  | { readonly not: Condition }

/** `always` belongs to the checklist: what holds for every operation. */
export type Trigger = Condition | { readonly always: true }

export const OPERATORS_OF: Readonly<Record<FactTerm['kind'], readonly OperatorName[]>> = {
  number: ['atLeast', 'above', 'atMost', 'below', 'between', 'isKnown'],
  choice: ['is', 'isOneOf', 'isKnown'],
  'yes-no': ['is', 'isKnown'],
}

/** A comparison with the direction in which it pulls: false when an odd number of `not` stands above it. */
export interface Literal {
  readonly comparison: Comparison
  readonly positive: boolean
}

/** Every comparison of a trigger, in the order in which it is written. */
export function literalsOf(trigger: Trigger, positive = true): readonly Literal[] {
  if ('always' in trigger) return []
  if ('all' in trigger) return trigger.all.flatMap((part) => literalsOf(part, positive))
  if ('any' in trigger) return trigger.any.flatMap((part) => literalsOf(part, positive))
  if ('not' in trigger) return literalsOf(trigger.not, !positive)
  return [{ comparison: trigger, positive }]
}

/** The facts a trigger speaks of, each once, in the order in which they are written. */
export const factsOf = (trigger: Trigger): readonly FactName[] => [
  ...new Set(literalsOf(trigger).map(({ comparison }) => comparison.fact)),
]

/** The value a record gives to a fact; null where it says nothing. */
export const given = (facts: Partial<FactRecord>, fact: FactName): FactValue => facts[fact] ?? null
