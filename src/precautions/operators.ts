import type { OperatorName, Threshold } from './condition.js'
import type { FactValue } from './facts.js'

/** Compares a fact with the threshold a rule names. A fact that is not known satisfies no comparison except `isKnown`. */
export type Comparer = (given: FactValue, threshold: Threshold) => boolean

const numbers =
  (test: (given: number, threshold: number) => boolean): Comparer =>
  (given, threshold) =>
    typeof given === 'number' && typeof threshold === 'number' && test(given, threshold)

/**
 * The comparisons rule files may use. They are ours, because the library's own coerce text to numbers, test for a part of a
 * text, and hold for a missing fact.
 */
export const OPERATORS: Readonly<Record<OperatorName, Comparer>> = {
  atLeast: numbers((given, threshold) => given >= threshold),
  above: numbers((given, threshold) => given > threshold),
  atMost: numbers((given, threshold) => given <= threshold),
  below: numbers((given, threshold) => given < threshold),
  between: (given, threshold) => {
    if (typeof given !== 'number' || !Array.isArray(threshold)) return false
    const [low, high] = threshold as readonly unknown[]
    return typeof low === 'number' && typeof high === 'number' && given >= low && given < high
  },
  is: (given, threshold) => given !== null && given === threshold,
  isOneOf: (given, threshold) => typeof given === 'string' && Array.isArray(threshold) && threshold.includes(given),
  isKnown: (given, threshold) => (given !== null) === threshold,
}

export const OPERATOR_NAMES = Object.keys(OPERATORS) as readonly OperatorName[]
export const isOperatorName = (name: string): name is OperatorName => Object.hasOwn(OPERATORS, name)

/** A threshold on its way through the engine: as it is, or, for a list, behind a function. */
export type Carried = Threshold | (() => Threshold)

export const carried = (threshold: Threshold): Carried => (Array.isArray(threshold) ? () => threshold : threshold)
export const uncarried = (threshold: Carried): Threshold => (typeof threshold === 'function' ? threshold() : threshold)

/** The same comparisons for the engine, whose thresholds may be carried. */
export const CARRIED_OPERATORS = Object.fromEntries(
  OPERATOR_NAMES.map((name) => [name, (given: FactValue, threshold: Carried) => OPERATORS[name](given, uncarried(threshold))]),
) as Readonly<Record<OperatorName, (given: FactValue, threshold: Carried) => boolean>>
