import type { Source } from '../terms/source.js'
import { type Dioptres, dioptres } from '../terms/units.js'
import {
  CHAMBER_DEPTH_UNCERTAINTY,
  KERATOMETRY_UNCERTAINTY,
  LENGTH_UNCERTAINTY,
  LENS_POSITION_UNCERTAINTY,
  type LengthMethod,
  lensPowerUncertainty,
  type PublishedUncertainty,
  REFRACTION_UNCERTAINTY,
  STAPHYLOMA_UNCERTAINTY,
} from './error-sources.js'
import { normalProbability } from './normal-distribution.js'
import type { Sensitivities } from './sensitivity.js'

/** What the outcome depends on and is not known exactly. */
export const ERROR_SOURCES = [
  'axial length',
  'staphyloma',
  'keratometry',
  'anterior chamber depth',
  'lens position',
  'lens power',
  'refraction',
] as const
export type ErrorSource = (typeof ERROR_SOURCES)[number]

/** How the eye was measured, as far as it bears on the uncertainty. */
export interface MeasuringConditions {
  readonly lengthMethod: LengthMethod | 'not-stated'
  /** Standard deviation that the instrument reported, mm; used when it is worse than the published one. */
  readonly lengthStandardDeviation?: number | undefined
  /** Posterior staphyloma: present, or not excluded. */
  readonly staphyloma: boolean
  readonly lensPower: Dioptres
}

export interface Contribution {
  readonly errorSource: ErrorSource
  readonly standardUncertainty: number
  readonly unit: 'mm' | 'D'
  /** Dioptres of refraction per unit. */
  readonly sensitivity: number
  /** Sensitivity times uncertainty, dioptres, signed. */
  readonly effect: Dioptres
  readonly source: Source
}

/** Correlation of two errors, -1 to 1. Pairs not named are independent. */
export interface Correlation {
  readonly between: readonly [ErrorSource, ErrorSource]
  readonly coefficient: number
}

/**
 * Combined standard uncertainty of effects, correlations included.
 *
 * - Domain: first order; coefficients that no distribution could have may give a negative variance, which counts as none.
 * - Source: JCGM 100:2008 (GUM), equation 16.
 *
 * @param effects sensitivity times standard uncertainty of each input
 * @param correlation coefficient between inputs `i` and `j`, by place
 */
export function combined(effects: readonly number[], correlation: (i: number, j: number) => number = () => 0): number {
  let variance = 0
  for (const [i, effect] of effects.entries()) {
    variance += effect * effect
    for (const [j, other] of effects.entries()) if (j < i) variance += 2 * effect * other * correlation(i, j)
  }
  return Math.sqrt(Math.max(variance, 0))
}

/** Correlation of two errors by name; 0 where none is known. */
export const correlationOf = (correlations: readonly Correlation[], one?: ErrorSource, other?: ErrorSource): number =>
  correlations.find(({ between }) => between.every((each) => each === one || each === other))?.coefficient ?? 0

/** What each error does to the refraction of one eye with one lens. */
export interface UncertaintyBudget {
  readonly contributions: readonly Contribution[]
  readonly correlations: readonly Correlation[]
  /** Of the refraction found after surgery against the predicted one, chance only. */
  readonly standardDeviation: Dioptres
  /** The same without the error of refracting the patient afterwards. */
  readonly withoutRefraction: Dioptres
  /** What contributes most. */
  readonly dominant: ErrorSource
}

/**
 * First-order error budget of a predicted refraction.
 *
 * - Domain: small errors; the error of axial length grows in a very long eye and the errors of length and depth are
 *   correlated, by amounts that were not published (Langenbucher A et al. PLoS One 2024;19(2):e0297869), so that this is a
 *   lower bound there. Compare with `simulateOutcome`.
 * - Source: JCGM 100:2008 (GUM); the uncertainties carry their own sources.
 *
 * @param sensitivities from `sensitivitiesOf`
 * @param conditions how the eye was measured
 * @param correlations between errors, where known
 */
export function uncertaintyBudget(
  sensitivities: Sensitivities,
  conditions: MeasuringConditions,
  correlations: readonly Correlation[] = [],
): UncertaintyBudget {
  const published = LENGTH_UNCERTAINTY[conditions.lengthMethod]
  const stated = conditions.lengthStandardDeviation ?? 0
  const length: PublishedUncertainty =
    stated > published.value
      ? { value: stated, unit: 'mm', source: { cite: 'standard deviation reported by the instrument', sureness: 'read' } }
      : published
  const rows: readonly (readonly [ErrorSource, PublishedUncertainty, number])[] = [
    ['axial length', length, sensitivities.axialLength],
    ...(conditions.staphyloma ? [['staphyloma', STAPHYLOMA_UNCERTAINTY, sensitivities.axialLength] as const] : []),
    ['keratometry', KERATOMETRY_UNCERTAINTY, sensitivities.keratometry],
    ...(sensitivities.anteriorChamberDepth === 0
      ? []
      : [['anterior chamber depth', CHAMBER_DEPTH_UNCERTAINTY, sensitivities.anteriorChamberDepth] as const]),
    ['lens position', LENS_POSITION_UNCERTAINTY, sensitivities.lensPosition],
    ['lens power', lensPowerUncertainty(conditions.lensPower), sensitivities.lensPower],
    ['refraction', REFRACTION_UNCERTAINTY, 1],
  ]
  return budgetOf(
    rows.map(([errorSource, { value, unit, source }, sensitivity]) => ({
      errorSource,
      standardUncertainty: value,
      unit,
      sensitivity,
      effect: dioptres(sensitivity * value),
      source,
    })),
    correlations,
  )
}

function budgetOf(contributions: readonly Contribution[], correlations: readonly Correlation[]): UncertaintyBudget {
  const total = (rows: readonly Contribution[]) =>
    dioptres(
      combined(
        rows.map(({ effect }) => effect),
        (i, j) => correlationOf(correlations, rows[i]?.errorSource, rows[j]?.errorSource),
      ),
    )
  const largest = contributions.reduce((a, b) => (Math.abs(b.effect) > Math.abs(a.effect) ? b : a))
  return {
    contributions,
    correlations,
    standardDeviation: total(contributions),
    withoutRefraction: total(contributions.filter(({ errorSource }) => errorSource !== 'refraction')),
    dominant: largest.errorSource,
  }
}

/**
 * Chance that the refraction ends within a distance of the predicted one.
 *
 * - Domain: normal errors; holds for the model of the budget and for no clinic's own results.
 *
 * @example
 * ```ts
 * chanceWithin(dioptres(0.5), dioptres(0.457)) // => 0.726085
 * ```
 * @param distance dioptres either side
 * @param standardDeviation dioptres
 * @param bias mean error, dioptres, positive hyperopic
 * @returns 0 to 1
 */
export const chanceWithin = (distance: Dioptres, standardDeviation: Dioptres, bias: Dioptres = dioptres(0)): number =>
  normalProbability((distance - bias) / standardDeviation) - normalProbability((-distance - bias) / standardDeviation)

/**
 * Chance of a hyperopic surprise: of ending more than a distance on the hyperopic side of the predicted refraction.
 * @param beyond dioptres
 * @param standardDeviation dioptres
 * @param bias mean error, dioptres, positive hyperopic
 * @returns 0 to 1
 */
export const chanceOfHyperopia = (beyond: Dioptres, standardDeviation: Dioptres, bias: Dioptres = dioptres(0)): number =>
  normalProbability((bias - beyond) / standardDeviation)

/** Standard deviations either side that hold 95 % of a normal distribution. */
const COVERAGE_95 = 1.959963984540054

/**
 * Interval that holds 95 % of outcomes about a predicted refraction.
 * @param predicted dioptres at the spectacle plane
 * @param standardDeviation dioptres
 * @param bias mean error, dioptres, positive hyperopic
 */
export const interval95 = (
  predicted: Dioptres,
  standardDeviation: Dioptres,
  bias: Dioptres = dioptres(0),
): { readonly low: Dioptres; readonly high: Dioptres } => ({
  low: dioptres(predicted + bias - COVERAGE_95 * standardDeviation),
  high: dioptres(predicted + bias + COVERAGE_95 * standardDeviation),
})

/** One thing to measure again, and what it would buy. */
export interface Remeasurement {
  readonly errorSource: ErrorSource
  readonly action: string
  /** Standard deviation of the outcome afterwards, dioptres. */
  readonly standardDeviation: Dioptres
  /** By how much the outcome narrows, dioptres of standard deviation. */
  readonly narrows: Dioptres
}

const AGAIN: Readonly<Partial<Record<ErrorSource, string>>> = {
  'axial length': 'measure the axial length again and take the mean',
  keratometry: 'measure the keratometry again and take the mean',
  'anterior chamber depth': 'measure the anterior chamber depth again and take the mean',
}

/**
 * Which measurement is worth repeating, the most telling first.
 *
 * Repeating halves the variance of that measurement, if its errors are independent. A length by ultrasound is also compared
 * with an optical one, and a staphyloma with one whose fovea was found.
 *
 * @param budget from `uncertaintyBudget`
 */
export function measureAgain(budget: UncertaintyBudget): readonly Remeasurement[] {
  const after = (errorSource: ErrorSource, action: string, factor: number): Remeasurement => {
    const contributions = budget.contributions.map((each) =>
      each.errorSource === errorSource ? { ...each, effect: dioptres(each.effect * factor) } : each,
    )
    const { standardDeviation } = budgetOf(contributions, budget.correlations)
    return { errorSource, action, standardDeviation, narrows: dioptres(budget.standardDeviation - standardDeviation) }
  }
  const options = budget.contributions.flatMap(({ errorSource, standardUncertainty }) => {
    const again = AGAIN[errorSource]
    const rows = again === undefined ? [] : [after(errorSource, again, Math.SQRT1_2)]
    const optical = LENGTH_UNCERTAINTY.optical.value
    if (errorSource === 'axial length' && standardUncertainty > 2 * optical) {
      rows.push(after(errorSource, 'measure the axial length optically, with good fixation', optical / standardUncertainty))
    }
    if (errorSource === 'staphyloma') {
      rows.push(after(errorSource, 'find the fovea by B-scan and measure the length to it', 0))
    }
    return rows
  })
  return options.sort((a, b) => b.narrows - a.narrows)
}
