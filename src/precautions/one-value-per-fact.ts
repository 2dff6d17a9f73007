import { type Comparison, type Literal, literalsOf, type Trigger } from './condition.js'
import type { FactName, FactRecord, FactValue } from './facts.js'
import { truthOf } from './kleene.js'
import { OPERATORS } from './operators.js'
import { termOf } from './read-condition.js'

type Value = NonNullable<FactValue>

/**
 * Values that tell every two comparisons of a fact apart: each threshold, a value in every gap, both ends of the range.
 * @param comparisons all of the same fact
 */
export function tellingValues(fact: FactName, comparisons: readonly Comparison[]): readonly Value[] {
  const term = termOf(fact)
  if (term.kind === 'yes-no') return [true, false]
  if (term.kind === 'choice') return term.values
  const thresholds = comparisons.flatMap(({ value }) => (Array.isArray(value) ? value : [value]))
  const numbers = [term.low, ...thresholds.filter((value) => typeof value === 'number'), term.high]
  const sorted = [...new Set(numbers)].sort((one, other) => one - other)
  return sorted.flatMap((value, at) => {
    const next = sorted[at + 1]
    return next === undefined ? [value] : [value, (value + next) / 2]
  })
}

/**
 * Checks the condition under which three-valued logic is exact: for each fact one value satisfies all that the rule says of it,
 * and one value refutes all of it. Then the rule rises in each of its comparisons and "unknown" means truly undecided.
 * @returns what is wrong, in words, for each fact that fails
 */
export function tangledFacts(
  trigger: Trigger,
): readonly { readonly fact: FactName; readonly message: string; readonly instead: string }[] {
  const byFact = new Map<FactName, Literal[]>()
  for (const literal of literalsOf(trigger)) {
    const { fact, operator } = literal.comparison
    if (operator !== 'isKnown') byFact.set(fact, [...(byFact.get(fact) ?? []), literal])
  }
  return [...byFact].flatMap(([fact, literals]) => {
    const values = tellingValues(
      fact,
      literals.map(({ comparison }) => comparison),
    )
    const satisfied = values.some((value) => literals.every((literal) => holds(literal, value)))
    const refuted = values.some((value) => literals.every((literal) => !holds(literal, value)))
    if (satisfied && refuted) return []
    return [{ fact, ...wordsFor(fact, literals.length, satisfied) }]
  })
}

const holds = ({ comparison, positive }: Literal, value: Value): boolean =>
  OPERATORS[comparison.operator](value, comparison.value) === positive

function wordsFor(fact: FactName, times: number, satisfied: boolean): { readonly message: string; readonly instead: string } {
  const { label } = termOf(fact)
  if (times === 1) {
    const message = `this holds for ${satisfied ? 'every' : 'no'} possible ${label}, so it decides nothing`
    return { message, instead: 'correct the value, or take the condition out' }
  }
  const message = `no single ${label} can ${satisfied ? 'refute' : 'satisfy'} everything the rule says of it`
  return { message, instead: 'use one "between" or one "isOneOf" condition, or write two rules' }
}

/**
 * Whether the trigger can fire, and can stay quiet, in some eye. Only facts asked for by `isKnown` can make a rule whose facts
 * are not tangled fail here, so only those need to be tried as missing.
 */
export function reach(trigger: Trigger): { readonly canFire: boolean; readonly canStayQuiet: boolean } {
  const literals = literalsOf(trigger)
  const asked = new Set(
    literals.filter(({ comparison }) => comparison.operator === 'isKnown').map(({ comparison }) => comparison.fact),
  )
  const facts = [...new Set(literals.map(({ comparison }) => comparison.fact))]
  const choices = facts.map((fact) => {
    const own = literals.filter(({ comparison }) => comparison.fact === fact)
    return { fact, values: [...extremes(fact, own), ...(asked.has(fact) ? [null] : [])] }
  })
  let canFire = false
  let canStayQuiet = false
  for (const record of combinations(choices)) {
    const truth = truthOf(trigger, record)
    if (truth === true) canFire = true
    if (truth === false) canStayQuiet = true
    if (canFire && canStayQuiet) break
  }
  return { canFire, canStayQuiet }
}

/** One value that satisfies as much as any of what is said of a fact, and one that refutes as much as any. */
function extremes(fact: FactName, literals: readonly Literal[]): readonly Value[] {
  const values = tellingValues(
    fact,
    literals.map(({ comparison }) => comparison),
  )
  const ranked = values.toSorted((one, other) => countHeld(literals, other) - countHeld(literals, one))
  const [most, least] = [ranked[0], ranked.at(-1)]
  return most === undefined || least === undefined ? [] : [most, least]
}

const countHeld = (literals: readonly Literal[], value: Value): number =>
  literals.filter((literal) => holds(literal, value)).length

function* combinations(
  choices: readonly { readonly fact: FactName; readonly values: readonly FactValue[] }[],
): Generator<Partial<FactRecord>> {
  const [first, ...rest] = choices
  if (first === undefined) {
    yield {}
    return
  }
  for (const inner of combinations(rest)) {
    for (const value of first.values) yield { ...inner, [first.fact]: value }
  }
}
