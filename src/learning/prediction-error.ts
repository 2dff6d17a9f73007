import { ADJUSTMENTS, type AdjustmentId, FORMULAS, type FormulaId } from '../terms/formulas.js'
import type { FormulaError } from './formula-errors.js'
import { type Estimate, meanEstimate, medianEstimate, type Share, shareOf, standardDeviation } from './statistics.js'

/** No figure is given for fewer eyes: its interval would be wider than anything that it could decide. Our own limit. */
export const FEWEST_EYES = 10

/** A hair above the limit, so that a value that is exactly 0.50 in writing is within it in binary too. */
const HAIR = 1e-9

/** Bands of axial length, mm; the lower limit belongs to the band. 22 and 26 are where guidance changes formulas. */
export const LENGTH_BANDS = [
  { id: 'all', words: 'all lengths', fromMm: 0, belowMm: Number.POSITIVE_INFINITY },
  { id: 'below-22', words: 'under 22 mm', fromMm: 0, belowMm: 22 },
  { id: '22-26', words: '22 to under 26 mm', fromMm: 22, belowMm: 26 },
  { id: '26-28', words: '26 to under 28 mm', fromMm: 26, belowMm: 28 },
  { id: '28-30', words: '28 to under 30 mm', fromMm: 28, belowMm: 30 },
  { id: 'from-30', words: '30 mm and over', fromMm: 30, belowMm: Number.POSITIVE_INFINITY },
] as const
export type LengthBand = (typeof LENGTH_BANDS)[number]

/** The UK benchmark for all eyes, as printed. */
export const REFRACTION_BENCHMARK = {
  withinHalf: 0.55,
  withinOne: 0.85,
  cite: 'Gale RP et al. Eye 2009;23:149-152',
} as const

export interface ErrorSummary {
  readonly formula: FormulaId
  readonly adjustment: AdjustmentId
  readonly band: LengthBand['id']
  readonly eyes: number
  /** Absent below `FEWEST_EYES`. */
  readonly figures?: ErrorFigures
}

export interface ErrorFigures {
  /** Dioptres, signed. */
  readonly mean: Estimate
  readonly standardDeviationD: number
  /** Dioptres. */
  readonly medianAbsolute: Estimate
  readonly withinHalf: Share
  readonly withinOne: Share
}

/**
 * Mean, spread and shares of prediction errors.
 * @param errorsD achieved minus predicted, dioptres
 * @returns undefined below `FEWEST_EYES`
 */
export function errorFigures(errorsD: readonly number[]): ErrorFigures | undefined {
  if (errorsD.length < FEWEST_EYES) return undefined
  const absolute = errorsD.map(Math.abs)
  const within = (limit: number) => shareOf(absolute.filter((error) => error <= limit + HAIR).length, errorsD.length)
  const [mean, medianAbsolute, withinHalf, withinOne] = [meanEstimate(errorsD), medianEstimate(absolute), within(0.5), within(1)]
  if (!mean || !medianAbsolute || !withinHalf || !withinOne) return undefined
  return { mean, standardDeviationD: standardDeviation(errorsD), medianAbsolute, withinHalf, withinOne }
}

/** For each formula and adjustment that any eye was computed with, over all lengths and in each band that holds an eye. */
export function summariseErrors(errors: readonly FormulaError[]): readonly ErrorSummary[] {
  const kinds = FORMULAS.flatMap((formula) => ADJUSTMENTS.map((adjustment) => ({ formula, adjustment })))
  return kinds.flatMap(({ formula, adjustment }) => {
    const own = errors.filter((error) => error.formula === formula && error.adjustment === adjustment)
    return LENGTH_BANDS.flatMap(({ id, fromMm, belowMm }): readonly ErrorSummary[] => {
      const within = own.filter(({ axialLengthMm }) => axialLengthMm >= fromMm && axialLengthMm < belowMm)
      if (within.length === 0) return []
      const figures = errorFigures(within.map(({ errorD }) => errorD))
      return [{ formula, adjustment, band: id, eyes: within.length, ...(figures ? { figures } : {}) }]
    })
  })
}
