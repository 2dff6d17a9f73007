import type { FormulaId } from '../terms/formulas.js'
import { computed, type Outcome } from '../terms/outcome.js'
import { type Dioptres, dioptres } from '../terms/units.js'
import type { WorkingRecord } from '../terms/working.js'
import { groupIndexBias, type LengthBias, ultrasoundBias } from './error-sources.js'
import { type EvaluationOptions, evaluate } from './formulas.js'
import { axialLengthCooke } from './length-adjustments.js'
import type { EyeMeasurements, LensConstants } from './lens-formula.js'
import { sensitivitiesOf } from './sensitivity.js'
import {
  chanceOfHyperopia,
  chanceWithin,
  interval95,
  type MeasuringConditions,
  measureAgain,
  type Remeasurement,
  type UncertaintyBudget,
  uncertaintyBudget,
} from './uncertainty.js'

/** Chances of one outcome, 0 to 1, about the predicted refraction. */
export interface Chances {
  readonly withinHalf: number
  readonly withinOne: number
  /** Of ending more than 0.50 D on the hyperopic side. */
  readonly hyperopicSurprise: number
  /** Holds 95 % of outcomes. */
  readonly interval: { readonly low: Dioptres; readonly high: Dioptres }
}

/** What one formula's prediction for one lens is worth in this eye. */
export interface Forecast {
  readonly predicted: Dioptres
  readonly budget: UncertaintyBudget
  /** If nothing is systematically wrong. */
  readonly unbiased: Chances
  /** Systematic tendencies that are known or not excluded; none is applied to the predicted refraction. */
  readonly biases: readonly LengthBias[]
  /** If the tendencies named hold in full. */
  readonly biased?: Chances
  /** The most telling first. */
  readonly measureAgain: readonly Remeasurement[]
  /** Every chance is shown with these. */
  readonly model: string
  readonly population: string
  readonly years: string
  readonly working: WorkingRecord
}

export interface ForecastConditions extends Omit<MeasuringConditions, 'lensPower'> {
  /** What kind of length the lens constants were made for. */
  readonly constantsFor: 'optical' | 'ultrasound' | 'not-stated'
}

const MODEL = 'first-order error budget'
const POPULATION =
  'published errors of measurement (266 eyes, one optical biometer) and of lens position and refraction (average eyes)'
const YEARS = '2008 and 2025'
const HALF = dioptres(0.5)
const ONE = dioptres(1)

const chancesOf = (predicted: Dioptres, standardDeviation: Dioptres, bias: Dioptres): Chances => ({
  withinHalf: chanceWithin(HALF, standardDeviation, bias),
  withinOne: chanceWithin(ONE, standardDeviation, bias),
  hyperopicSurprise: chanceOfHyperopia(HALF, standardDeviation, bias),
  interval: interval95(predicted, standardDeviation, bias),
})

/**
 * How sure the refraction is that one formula predicts for one lens, what dominates, and what to measure again.
 *
 * - Domain: where the formula is defined. The errors are those of eyes of average length: in a very long eye the true
 *   spread is at least this wide.
 * - Source: JCGM 100:2008 (GUM); each error and each tendency carries its own.
 *
 * @param formula which formula
 * @param eye measurements of the eye
 * @param constants constants of the lens
 * @param options length adjustment and what it needs
 * @param power lens power, dioptres, signed
 * @param conditions how the eye was measured
 */
export function forecastOf(
  formula: FormulaId,
  eye: EyeMeasurements,
  constants: LensConstants,
  options: EvaluationOptions,
  power: Dioptres,
  conditions: ForecastConditions,
): Outcome<Forecast> {
  const evaluated = evaluate(formula, eye, constants, options)
  if (evaluated.kind !== 'computed') return evaluated
  const sensitivities = sensitivitiesOf(formula, eye, constants, options, power, evaluated)
  if (sensitivities.kind !== 'computed') return sensitivities

  const predicted = evaluated.value.refractionFor(power)
  const budget = uncertaintyBudget(sensitivities.value, { ...conditions, lensPower: power })
  const biases = biasesOf(eye, options, conditions, sensitivities.value.axialLength)
  const total = dioptres(biases.reduce((sum, { bias }) => sum + bias, 0))
  return computed({
    predicted,
    budget,
    unbiased: chancesOf(predicted, budget.standardDeviation, dioptres(0)),
    biases,
    ...(biases.length === 0 ? {} : { biased: chancesOf(predicted, budget.standardDeviation, total) }),
    measureAgain: measureAgain(budget),
    model: MODEL,
    population: POPULATION,
    years: YEARS,
    working: {
      inputs: [
        { name: 'lens power', value: power, unit: 'D' },
        { name: 'predicted refraction', value: predicted, unit: 'D' },
        ...budget.contributions.map(({ errorSource, standardUncertainty, unit }) => ({
          name: `standard uncertainty of ${errorSource}`,
          value: standardUncertainty,
          unit,
        })),
      ],
      steps: [
        ...budget.contributions.map(({ errorSource, effect }) => ({
          name: `effect of ${errorSource}`,
          value: Math.abs(effect),
          unit: 'D',
        })),
        { name: 'standard deviation', value: budget.standardDeviation, unit: 'D' },
      ],
      equation: 'u u = sum of (sensitivity x standard uncertainty) squared',
      source: { cite: 'JCGM 100:2008 (GUM), equation 10', year: 2008, sureness: 'memory' },
    },
  })
}

function biasesOf(
  eye: EyeMeasurements,
  options: EvaluationOptions,
  conditions: ForecastConditions,
  perLength: number,
): readonly LengthBias[] {
  if (conditions.lengthMethod !== 'optical' && conditions.lengthMethod !== 'not-stated') {
    const bias = ultrasoundBias(conditions.lengthMethod, perLength, conditions.constantsFor)
    return bias === undefined ? [] : [bias]
  }
  const grouped = options.adjustment === 'none' && (options.lengthKind ?? 'group-index') === 'group-index'
  if (!grouped || options.lensThickness === undefined) return []
  const segments = axialLengthCooke(eye.axialLength, options.lensThickness)
  // Short eyes differ the other way; the tendency is spoken of where it makes a long eye hyperopic.
  return segments < eye.axialLength ? [groupIndexBias(eye.axialLength, segments, perLength)] : []
}
