import type { AdjustmentId } from '../terms/formulas.js'
import { type Dioptres, dioptres } from '../terms/units.js'
import { counts, type EvaluatedRow, type EyeForLens } from './formula-rows.js'
import type { ExistingPower } from './powers-that-exist.js'

/** Above this axial length the published adjustments of long eyes begin, mm. */
const LONG_FROM_MM = 25
/** Below this length the adjustments still sit on the step at their threshold, mm: the rows without them are kept in. */
const ADJUSTED_ALONE_FROM_MM = 26
const LONG_EYE_ADJUSTMENTS: readonly AdjustmentId[] = ['wang-koch-2011', 'wang-koch-2018']

export interface Basis {
  readonly rows: readonly EvaluatedRow[]
  readonly words: string
  /** Why the rows that count but carry nothing are not stood on. */
  readonly othersBecause: string
}

/** Whether a row with this adjustment can be stood on in this eye; the others are for comparison. */
export function canCarry(eye: EyeForLens, adjustment: AdjustmentId): boolean {
  const isLong = LONG_EYE_ADJUSTMENTS.includes(adjustment)
  if (eye.lengthKind !== 'group-index' || eye.axialLength < ADJUSTED_ALONE_FROM_MM) return isLong || adjustment === 'none'
  return isLong
}

/**
 * The rows that the recommendation stands on. In a long eye those with a published length adjustment, because the
 * unadjusted formulas leave such eyes hyperopic; near the threshold both kinds; in other eyes those as measured.
 */
export function basisOf(rows: readonly EvaluatedRow[], eye: EyeForLens): Basis {
  const counting = rows.filter(counts)
  const unadjusted = counting.filter(({ adjustment }) => adjustment === 'none')
  const adjusted = counting.filter(({ adjustment }) => LONG_EYE_ADJUSTMENTS.includes(adjustment))
  if (eye.axialLength > LONG_FROM_MM && adjusted.length > 0) {
    if (eye.axialLength < ADJUSTED_ALONE_FROM_MM) {
      return {
        rows: [...unadjusted, ...adjusted],
        words: 'the rows with and without the published length adjustments, whose step begins at 25.0 mm',
        othersBecause: '',
      }
    }
    return {
      rows: adjusted,
      words: 'the rows with a published length adjustment: unadjusted formulas leave long eyes hyperopic',
      othersBecause: 'unadjusted formulas leave long eyes hyperopic: shown for comparison',
    }
  }
  const words =
    eye.axialLength > LONG_FROM_MM
      ? 'unadjusted rows, since no published adjustment holds for a length measured this way: expect a hyperopic error'
      : 'the formulas for the length as measured'
  return { rows: unadjusted, words, othersBecause: '' }
}

/** Refractions are compared as they are printed, to a hundredth of a dioptre. */
const HALF_A_HUNDREDTH = 0.005

/**
 * The lowest power that exists and leaves no row on the hyperopic side of the target.
 * @returns undefined when no power that exists is strong enough
 */
export function lowestOnMyopicSide(
  basis: readonly EvaluatedRow[],
  target: Dioptres,
  powers: readonly ExistingPower[],
): ExistingPower | undefined {
  return powers.find(({ powerD }) =>
    basis.every(({ evaluation }) => {
      if (!evaluation) return false
      return evaluation.refractionFor(dioptres(powerD)) < target + HALF_A_HUNDREDTH
    }),
  )
}

/** Existing powers to show: from one step below the lowest power asked for to two steps above the recommended one. */
export function powersToShow(
  rows: readonly EvaluatedRow[],
  recommendedD: number | undefined,
  powers: readonly ExistingPower[],
): readonly number[] {
  const asked = rows.filter(counts).map(({ powerForTarget }) => powerForTarget as number)
  if (asked.length === 0) return []
  const lowest = Math.min(...asked, recommendedD ?? Number.POSITIVE_INFINITY)
  const highest = Math.max(...asked, recommendedD ?? Number.NEGATIVE_INFINITY)
  const values = powers.map(({ powerD }) => powerD)
  const from = Math.max(0, values.findLastIndex((power) => power <= lowest) - 1)
  const past = values.findIndex((power) => power >= highest)
  const to = past === -1 ? values.length : past + 2
  return values.slice(from, to)
}

/** Lowest and highest of some values, or undefined of none. */
export function rangeOf(values: readonly number[]): { readonly lowD: number; readonly highD: number } | undefined {
  return values.length === 0 ? undefined : { lowD: Math.min(...values), highD: Math.max(...values) }
}
