import type { Case } from '../case/case.js'
import type { LengthMethod } from '../optics/error-sources.js'
import { type Chances, type Forecast, forecastOf } from '../optics/forecast.js'
import { type SimulatedOutcome, simulateOutcome } from '../optics/monte-carlo.js'
import { chanceOfHyperopia, chanceWithin, interval95 } from '../optics/uncertainty.js'
import { ADJUSTMENT_NAMES, FORMULA_NAMES } from '../terms/formulas.js'
import { withThousands } from '../terms/frequency.js'
import { dioptres } from '../terms/units.js'
import { seedFrom } from './content-hash.js'
import type { EvaluatedRow, EyeForLens } from './formula-rows.js'
import { type LensAnswer, leavesOver, middleRow } from './lens-answer.js'
import { plainWorking } from './plain-working.js'
import type { Plan } from './plan.js'

type LensForecast = NonNullable<Plan['lens']['forecast']>

const METHODS = {
  optical: 'optical',
  'optical-segments': 'optical',
  immersion: 'immersion',
  contact: 'contact',
  ultrasound: 'ultrasound',
} as const satisfies Record<NonNullable<Case['axialLengthMethod']>['value'], LengthMethod>

/** How the length was measured, as far as its error goes; undefined when that was not stated. */
export const lengthMethodOf = (known: Case): LengthMethod | undefined => {
  const method = known.axialLengthMethod?.value
  return method && METHODS[method]
}

/** From this length an eye may hold a staphyloma unless one was looked for, mm; the usual bound of axial high myopia. */
const STAPHYLOMA_FROM_MM = 26

const mayHoldStaphyloma = (known: Case, eye: EyeForLens): boolean => {
  const stated = known.staphyloma?.value
  return stated === undefined ? eye.axialLength >= STAPHYLOMA_FROM_MM : stated === 'present'
}

/** The simulation and the budget say the same when their spreads differ by less than a tenth and nothing was undefined. */
const AGREES_WITHIN = 0.1
const DRAWS = 10_000

/**
 * How sure the refraction is that the chosen lens leaves: by the row nearest the middle of those that the choice stands on.
 * @param monteCarlo whether to operate on the eye 10,000 times over as well
 */
export function lensForecast(
  known: Case,
  eye: EyeForLens,
  answer: LensAnswer,
  powerD: number,
  monteCarlo: boolean,
): LensForecast | undefined {
  const row = middleRow(answer, powerD)
  if (!row) return undefined
  const options = { adjustment: row.adjustment, lengthKind: eye.lengthKind, lensThickness: eye.lensThickness }
  const power = dioptres(powerD)
  const staphyloma = mayHoldStaphyloma(known, eye)
  const outcome = forecastOf(row.formula, eye, answer.source.constants, options, power, {
    lengthMethod: lengthMethodOf(known) ?? 'not-stated',
    lengthStandardDeviation: known.axialLengthSdMm?.value,
    staphyloma,
    constantsFor: answer.source.modality,
  })
  if (outcome.kind !== 'computed') return undefined
  const simulated = monteCarlo ? simulation(row, eye, answer, powerD, outcome.value) : undefined
  return {
    ...asPlanned(outcome.value, row, powerD),
    ...ifAdjustmentFails(row, answer, powerD, outcome.value),
    ...(simulated ? { simulated } : {}),
    caveats: caveatsOf(known, answer, powerD, staphyloma),
  }
}

/**
 * An adjusted row stands on its adjustment. How likely the aim is met if this eye does not need it: the same spread about
 * what the same formula predicts for the length as measured.
 */
function ifAdjustmentFails(
  row: EvaluatedRow,
  answer: LensAnswer,
  powerD: number,
  { predicted, budget }: Forecast,
): Partial<Pick<LensForecast, 'biases' | 'biased'>> {
  if (row.adjustment === 'none') return {}
  const plain = answer.rows.find(({ formula, adjustment }) => formula === row.formula && adjustment === 'none')?.evaluation
  if (!plain) return {}
  const bias = dioptres(plain.refractionFor(dioptres(powerD)) - predicted)
  const spread = budget.standardDeviation
  return {
    biases: [
      {
        words: 'if this eye does not need the length adjustment',
        biasD: bias,
        source: { cite: 'difference of the two rows of this formula', sureness: 'derived' },
      },
    ],
    biased: chances({
      withinHalf: chanceWithin(dioptres(0.5), spread, bias),
      withinOne: chanceWithin(dioptres(1), spread, bias),
      hyperopicSurprise: chanceOfHyperopia(dioptres(0.5), spread, bias),
      interval: interval95(predicted, spread, bias),
    }),
  }
}

function simulation(
  { formula, adjustment }: EvaluatedRow,
  eye: EyeForLens,
  { source }: LensAnswer,
  powerD: number,
  { budget }: Forecast,
): NonNullable<LensForecast['simulated']> | undefined {
  const options = { adjustment, lengthKind: eye.lengthKind, lensThickness: eye.lensThickness }
  // From the numbers that enter and nothing else, so that the same eye is drawn alike on either side and in any wording.
  const seed = seedFrom([formula, options, eye, source.constants, powerD, budget.contributions])
  const outcome = simulateOutcome(formula, eye, source.constants, options, dioptres(powerD), budget, seed, DRAWS)
  return outcome.kind === 'computed' ? simulatedAsPlanned(outcome.value, budget.standardDeviation) : undefined
}

function simulatedAsPlanned(outcome: SimulatedOutcome, budgeted: number): NonNullable<LensForecast['simulated']> {
  const { draws, seed, undefinedShare, mean, standardDeviation, median, low, high, withinHalf, withinOne } = outcome
  const agrees = undefinedShare === 0 && Math.abs(standardDeviation / budgeted - 1) < AGREES_WITHIN
  const spreads = `standard deviation ${standardDeviation.toFixed(2)} D by ${withThousands(draws)} simulated operations, ${budgeted.toFixed(2)} D by the first-order budget`
  return {
    draws,
    seed,
    undefinedShare,
    meanD: mean,
    standardDeviationD: standardDeviation,
    medianD: median,
    interval: { lowD: low, highD: high },
    withinHalf,
    withinOne,
    agrees,
    words: agrees ? `${spreads}: they agree` : `${spreads}: they disagree, so that neither is to be relied on here`,
  }
}

const chances = ({ withinHalf, withinOne, hyperopicSurprise, interval }: Chances): LensForecast['unbiased'] => ({
  withinHalf,
  withinOne,
  hyperopicSurprise,
  interval: { lowD: interval.low, highD: interval.high },
})

function asPlanned(
  { predicted, budget, unbiased, biases, biased, measureAgain, model, population, years, working }: Forecast,
  row: EvaluatedRow,
  powerD: number,
): Omit<LensForecast, 'caveats' | 'simulated'> {
  return {
    formula: row.formula,
    adjustment: row.adjustment,
    row: `${FORMULA_NAMES[row.formula]}, ${ADJUSTMENT_NAMES[row.adjustment]}: nearest the middle of the rows that the lens stands on`,
    powerD,
    predictedD: predicted,
    standardDeviationD: budget.standardDeviation,
    withoutRefractionD: budget.withoutRefraction,
    unbiased: chances(unbiased),
    biases: biases.map(({ words, bias, source }) => ({ words, biasD: bias, source })),
    ...(biased ? { biased: chances(biased) } : {}),
    contributions: budget.contributions.map(({ effect, ...rest }) => ({ ...rest, effectD: effect })),
    dominant: budget.dominant,
    measureAgain: measureAgain.map(({ errorSource, action, standardDeviation, narrows }) => ({
      errorSource,
      action,
      standardDeviationD: standardDeviation,
      narrowsD: narrows,
    })),
    model,
    population,
    years,
    working: plainWorking(working),
  }
}

function caveatsOf(known: Case, answer: LensAnswer, powerD: number, staphyloma: boolean): string[] {
  const leaves = leavesOver(answer.basis.rows, powerD)
  const apart = leaves ? leaves.highD - leaves.lowD : 0
  return [
    ...(apart >= 0.005
      ? [`The rows it stands on are ${apart.toFixed(2)} D apart; the chance is about one of them and does not hold that.`]
      : []),
    'The errors are those of eyes of average length: in a very long eye the true spread is at least this wide.',
    ...(known.axialLengthMethod
      ? []
      : ['How the length was measured was not stated: taken as optical, but as no surer than one by ultrasound (0.2 mm).']),
    ...(staphyloma && known.staphyloma === undefined
      ? ['A staphyloma was not excluded: the length is taken as less sure by 0.2 mm (common practice, no source).']
      : []),
  ]
}
