import { wilsonInterval } from '../risk/wilson-interval.js'
import { studentT95 } from './student-t.js'

export interface Interval {
  readonly low: number
  readonly high: number
}

/** A figure with its 95 % interval. */
export interface Estimate extends Interval {
  readonly value: number
}

export interface Share extends Estimate {
  readonly of: number
  readonly count: number
}

/** Arithmetic mean; NaN of none. */
export const meanOf = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length

/** Standard deviation of a sample, with n - 1; NaN of fewer than two. */
export function standardDeviation(values: readonly number[]): number {
  const mean = meanOf(values)
  const squares = values.reduce((sum, value) => sum + (value - mean) * (value - mean), 0)
  return values.length < 2 ? Number.NaN : Math.sqrt(squares / (values.length - 1))
}

const ascending = (values: readonly number[]): readonly number[] => values.toSorted((one, other) => one - other)

/** The middle value, or the mean of the two in the middle; NaN of none. */
export function medianOf(values: readonly number[]): number {
  const sorted = ascending(values)
  const upper = sorted[Math.floor(sorted.length / 2)] ?? Number.NaN
  const lower = sorted[Math.ceil(sorted.length / 2) - 1] ?? Number.NaN
  return (lower + upper) / 2
}

/**
 * Mean with its 95 % interval by Student's t; undefined of fewer than two.
 * Source: Student. Biometrika 1908;6:1-25.
 */
export function meanEstimate(values: readonly number[]): Estimate | undefined {
  if (values.length < 2) return undefined
  const value = meanOf(values)
  const half = (studentT95(values.length - 1) * standardDeviation(values)) / Math.sqrt(values.length)
  return { value, low: value - half, high: value + half }
}

/**
 * Which values, counted from the lowest and from the highest, bound the median with at least 95 % certainty whatever the
 * distribution; undefined below six values, where no pair does.
 * Source: Campbell MJ, Gardner MJ. BMJ 1988;296:1454-1456 (exact binomial form).
 *
 * @param count how many values there are
 */
export function medianRank(count: number): number | undefined {
  let logOfTerm = count * Math.log(0.5)
  let below = Math.exp(logOfTerm)
  let rank = 0
  while (below <= 0.025 && rank < count / 2) {
    rank += 1
    logOfTerm += Math.log((count - rank + 1) / rank)
    below += Math.exp(logOfTerm)
  }
  return rank === 0 ? undefined : rank
}

/** Median with a distribution-free interval of at least 95 %; undefined below six values. */
export function medianEstimate(values: readonly number[]): Estimate | undefined {
  const rank = medianRank(values.length)
  const sorted = ascending(values)
  const [low, high] = [sorted[(rank ?? 0) - 1], sorted[sorted.length - (rank ?? 0)]]
  return low === undefined || high === undefined ? undefined : { value: medianOf(values), low, high }
}

/** A share with its 95 % score interval; undefined of none. Source: Wilson EB. J Am Stat Assoc 1927;22:209-212. */
export function shareOf(count: number, of: number): Share | undefined {
  const interval = wilsonInterval(count, of)
  return interval.kind === 'computed' ? { value: count / of, count, of, ...interval.value } : undefined
}
