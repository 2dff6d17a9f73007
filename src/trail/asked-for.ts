import type { Eye } from '../terms/eye.js'
import type { Step } from '../terms/steps.js'
import type { FeatureRow, NumberFact } from './features.js'
import { type Query, tokens } from './find.js'

/** A measured fact between two bounds; a bound that is absent is open. */
export interface FactRange {
  readonly fact: NumberFact
  readonly low?: number
  readonly high?: number
  /** Whether a value right at the bound belongs to it. */
  readonly lowIncluded: boolean
  readonly highIncluded: boolean
}

/** What somebody looks for, all of it at once. */
export interface AskedFor {
  /** Words that must stand in the consult; the store's own search finds them. Absent: no words were given. */
  readonly words?: Query
  readonly ranges: readonly FactRange[]
  readonly eye?: Eye
  readonly steps: readonly Step[]
  /** The words of each name that was asked for. */
  readonly by: readonly (readonly string[])[]
  /** Words of the outcome, or whether there is one. */
  readonly outcome: readonly ('recorded' | 'missing' | readonly string[])[]
  /** ISO days on which it was asked, both included. */
  readonly from?: string
  readonly to?: string
}

/** Whether anything but words is asked for, so that the rows of facts must be looked at. */
export const asksForFacts = ({ ranges, eye, steps, by, outcome, from, to }: AskedFor): boolean =>
  ranges.length + steps.length + by.length + outcome.length > 0 || [eye, from, to].some((part) => part !== undefined)

/**
 * Whether a consult has the facts that were asked for; its words are the store's search to find.
 * `unknown`: a fact that was asked for is not known of it, and nothing that is known speaks against it.
 */
export function matchesFacts({ ranges, eye, steps, by, outcome, from, to }: AskedFor, row: FeatureRow): 'yes' | 'no' | 'unknown' {
  const day = row.askedAt.slice(0, 10)
  const answers = [
    ...ranges.map((range) => within(row.numbers[range.fact], range)),
    ...(eye === undefined ? [] : [row.eye === undefined ? undefined : row.eye === eye]),
    ...steps.map((step) => row.steps.includes(step)),
    ...by.map((name) => row.people.some((person) => hasWords(person, name))),
    ...outcome.map((wish) => outcomeIs(row.outcome, wish)),
    from === undefined || day >= from,
    to === undefined || day <= to,
  ]
  if (answers.includes(false)) return 'no'
  return answers.includes(undefined) ? 'unknown' : 'yes'
}

function within(value: number | undefined, { low, high, lowIncluded, highIncluded }: FactRange): boolean | undefined {
  if (value === undefined) return undefined
  const above = low === undefined || value > low || (lowIncluded && value === low)
  const below = high === undefined || value < high || (highIncluded && value === high)
  return above && below
}

/** All the words stand in the text; the last one may be the beginning of a longer one. */
function hasWords(text: string, words: readonly string[]): boolean {
  const there = tokens(text)
  return words.every((word, index) => there.some((one) => one === word || (index === words.length - 1 && one.startsWith(word))))
}

function outcomeIs(outcome: string | undefined, wish: AskedFor['outcome'][number]): boolean | undefined {
  if (wish === 'recorded') return outcome !== undefined
  if (wish === 'missing') return outcome === undefined
  return outcome === undefined ? undefined : hasWords(outcome, wish)
}
