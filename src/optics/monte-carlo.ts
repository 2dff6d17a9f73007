import type { FormulaId } from '../terms/formulas.js'
import { computed, type Outcome } from '../terms/outcome.js'
import { type Dioptres, dioptres, mm } from '../terms/units.js'
import { BARE_FORMULAS } from './bare-formulas.js'
import { correlatingTriangle } from './cholesky.js'
import { type EvaluationOptions, evaluate } from './formulas.js'
import { adjustLength } from './length-adjustments.js'
import type { EyeMeasurements, LensConstants } from './lens-formula.js'
import { noAnswer } from './no-answer.js'
import { normals, seeded } from './random.js'
import { nthSmallest } from './select.js'
import { correlationOf, type ErrorSource, type UncertaintyBudget } from './uncertainty.js'
import { thinLensRefraction } from './vergence.js'

/** The errors that are drawn from normal distributions; the label's is rectangular and stands alone. */
const DRAWN = [
  'axial length',
  'staphyloma',
  'keratometry',
  'anterior chamber depth',
  'lens position',
  'refraction',
] as const satisfies readonly ErrorSource[]

/** What many simulated operations on the same eye gave. */
export interface SimulatedOutcome {
  readonly draws: number
  readonly seed: number
  /** Share of draws in which the formula was undefined; the rest are described. */
  readonly undefinedShare: number
  readonly mean: Dioptres
  readonly standardDeviation: Dioptres
  readonly median: Dioptres
  /** 2.5th and 97.5th centile of the refraction. */
  readonly low: Dioptres
  readonly high: Dioptres
  /** Share within 0.50 and 1.00 D of the predicted refraction. */
  readonly withinHalf: number
  readonly withinOne: number
}

/**
 * Describes many draws about a predicted value.
 *
 * - Source: JCGM 101:2008 (GUM Supplement 1), the probabilistically symmetric interval.
 *
 * @param values draws, dioptres; moved about by this function
 * @param predicted dioptres
 */
export function describeDraws(
  values: Float64Array,
  predicted: number,
): Omit<SimulatedOutcome, 'draws' | 'seed' | 'undefinedShare'> {
  const count = values.length
  let sum = 0
  let half = 0
  let one = 0
  for (const value of values) {
    sum += value
    const error = Math.abs(value - predicted)
    if (error <= 0.5) half += 1
    if (error <= 1) one += 1
  }
  const mean = sum / count
  let squares = 0
  for (const value of values) squares += (value - mean) * (value - mean)
  const placeOf = (share: number): number => Math.min(count - 1, Math.floor(share * count))
  const [low, middle, high] = [placeOf(0.025), placeOf(0.5), placeOf(0.975)]
  return {
    mean: dioptres(mean),
    standardDeviation: dioptres(Math.sqrt(squares / (count - 1))),
    low: dioptres(nthSmallest(values, low)),
    median: dioptres(nthSmallest(values, middle, low)),
    high: dioptres(nthSmallest(values, high, middle)),
    withinHalf: half / count,
    withinOne: one / count,
  }
}

/**
 * Operates on one eye many times over, each time with other errors of measurement, position, label and refraction, and says
 * how the refraction comes out by one formula.
 *
 * - Domain: where the formula is defined for the eye as measured. Errors are normal, those of the label rectangular and
 *   independent of the rest; correlations of the others are those of the budget. The length adjustment is the one of the eye as measured: draws do not cross its threshold.
 * - Source: JCGM 101:2008 (GUM Supplement 1); standard uncertainties from the budget.
 *
 * @param formula which formula
 * @param eye measurements of the eye
 * @param constants constants of the lens
 * @param options length adjustment and what it needs
 * @param power lens power, dioptres, signed
 * @param budget the errors, from `uncertaintyBudget`
 * @param seed the same seed gives the same result to the bit
 * @param draws how many
 */
export function simulateOutcome(
  formula: FormulaId,
  eye: EyeMeasurements,
  constants: LensConstants,
  options: EvaluationOptions,
  power: Dioptres,
  budget: UncertaintyBudget,
  seed: number,
  draws = 10_000,
): Outcome<SimulatedOutcome> {
  const here = evaluate(formula, eye, constants, options)
  if (here.kind !== 'computed') return here
  if (!(Number.isInteger(draws) && draws >= 100 && draws <= 1_000_000)) {
    return noAnswer('number of draws', draws, '', `number of draws ${draws} is outside 100 to 1000000`, 100, 1_000_000)
  }
  const triangle = correlatingTriangle(DRAWN.length, (i, j) => correlationOf(budget.correlations, DRAWN[i], DRAWN[j]))
  if (triangle === undefined) {
    return noAnswer('correlations', Number.NaN, '', 'No distribution has all of these correlations at once.')
  }
  const predicted = here.value.refractionFor(power)
  const bare = BARE_FORMULAS[formula](constants)
  const spreadOf = (errorSource: ErrorSource): number =>
    budget.contributions.find((each) => each.errorSource === errorSource)?.standardUncertainty ?? 0
  const spreads = DRAWN.map(spreadOf)
  const slope = lengthSlope(formula, eye, options)
  const label = spreadOf('lens power') * Math.sqrt(3)
  const measuredDepth = eye.anteriorChamberDepth ?? 0
  const { axialLengthUsed } = here.value

  const uniform = seeded(seed)
  const normal = normals(uniform)
  const independent = budget.correlations.length === 0
  const errors = new Float64Array(DRAWN.length)
  const values = new Float64Array(draws)
  let kept = 0
  for (let draw = 0; draw < draws; draw += 1) {
    // An error that is not in the budget moves nothing, so that its draw is saved; correlated ones are drawn together.
    for (let place = 0; place < errors.length; place += 1) errors[place] = independent && spreads[place] === 0 ? 0 : normal()
    if (!independent) correlate(errors, triangle)
    for (let place = 0; place < errors.length; place += 1) errors[place] = (errors[place] ?? 0) * (spreads[place] ?? 0)
    const [length = 0, staphyloma = 0, keratometry = 0, depth = 0, position = 0, refraction = 0] = errors
    const axialLength = mm(axialLengthUsed + slope * (length + staphyloma))
    const cornea = dioptres(eye.keratometry + keratometry)
    const lens = mm(bare.lensPosition(axialLength, cornea, mm(measuredDepth + depth)) + position)
    const labelled = dioptres(power + label * (2 * uniform() - 1))
    const outcome = thinLensRefraction(bare.opticalLength(axialLength), bare.cornealPower(cornea), lens, labelled)
    const found = outcome + refraction
    if (Number.isNaN(found)) continue
    values[kept] = found
    kept += 1
  }
  if (kept < draws / 2) {
    return noAnswer('share of draws', kept / draws, '', 'In most of the simulated eyes this formula is undefined.', 0.5, 1)
  }
  const described = describeDraws(values.subarray(0, kept), predicted)
  return computed({ draws, seed, undefinedShare: 1 - kept / draws, ...described })
}

/** Turns independent draws into correlated ones in place, the last first, since each row needs only earlier draws. */
function correlate(errors: Float64Array, triangle: readonly Float64Array[]): void {
  for (let i = errors.length - 1; i >= 0; i -= 1) {
    const row = triangle[i]
    let sum = 0
    for (let k = 0; k <= i; k += 1) sum += (row?.[k] ?? 0) * (errors[k] ?? 0)
    errors[i] = sum
  }
}

/** How much of an error of the measured length is left after the adjustment. */
function lengthSlope(formula: FormulaId, eye: EyeMeasurements, options: EvaluationOptions): number {
  const step = 0.001
  const at = (by: number): number => {
    const length = mm(eye.axialLength + by)
    const outcome = adjustLength(options.adjustment, formula, length, options.lengthKind, options.lensThickness)
    return outcome.kind === 'computed' ? outcome.value.axialLength : Number.NaN
  }
  // Upwards only: the eye lies above the threshold, and a step down might cross it.
  return (at(step) - at(0)) / step
}
