import { describe, expect, it } from 'vitest'
import { groupIndexBias, lensPowerUncertainty, ultrasoundBias } from '../../src/optics/error-sources.js'
import { axialLengthCooke } from '../../src/optics/length-adjustments.js'
import { sensitivitiesOf, thinLensPartials } from '../../src/optics/sensitivity.js'
import {
  chanceOfHyperopia,
  chanceWithin,
  interval95,
  type MeasuringConditions,
  measureAgain,
  uncertaintyBudget,
} from '../../src/optics/uncertainty.js'
import { dioptres, mm } from '../../src/terms/units.js'
import { closeTo } from './close-to.js'

/** An eye of 31 mm with its lens at 5.9 mm behind 42 D of cornea, the position held apart from the other errors. */
const partials = thinLensPartials(mm(31), dioptres(42), mm(5.9), dioptres(4.5))
const LONG_EYE = {
  axialLength: partials.perLength,
  keratometry: partials.perCornea,
  anteriorChamberDepth: 0,
  lensPosition: partials.perPosition,
  lensPower: partials.perPower,
}
const conditions = (over: Partial<MeasuringConditions> = {}): MeasuringConditions => ({
  lengthMethod: 'optical',
  staphyloma: false,
  lensPower: dioptres(4.5),
  ...over,
})

describe('the error budget of an eye of 31 mm with +4.5 D', () => {
  /** By an independent transcription: optical (0.02 mm), immersion 0.10, contact 0.20 mm. */
  it.each([
    ['optical', 0.457, 0.237],
    ['immersion', 0.48, 0.28],
    ['contact', 0.547, 0.383],
  ] as const)('%s: %f D, and %f D without the refraction', (lengthMethod, all, without) => {
    const budget = uncertaintyBudget(LONG_EYE, conditions({ lengthMethod }))
    closeTo(budget.standardDeviation, all, 0.002)
    closeTo(budget.withoutRefraction, without, 0.003)
  })

  it('hardly contains the lens position, and is dominated by refracting the patient', () => {
    const budget = uncertaintyBudget(LONG_EYE, conditions())
    const effect = (name: string) => Math.abs(budget.contributions.find((each) => each.errorSource === name)?.effect ?? 0)
    closeTo(effect('lens position'), 0.072, 0.0015)
    expect(budget.dominant).toBe('refraction')
  })

  it('takes the standard deviation of the instrument when it is the worse', () => {
    const better = uncertaintyBudget(LONG_EYE, conditions({ lengthStandardDeviation: 0.005 }))
    const worse = uncertaintyBudget(LONG_EYE, conditions({ lengthStandardDeviation: 0.3 }))
    expect(better.standardDeviation).toBe(uncertaintyBudget(LONG_EYE, conditions()).standardDeviation)
    expect(worse.dominant).toBe('axial length')
    expect(worse.contributions[0]?.standardUncertainty).toBe(0.3)
  })

  it('widens for a staphyloma as its own term', () => {
    const budget = uncertaintyBudget(LONG_EYE, conditions({ staphyloma: true }))
    expect(budget.contributions.map(({ errorSource }) => errorSource)).toContain('staphyloma')
    expect(budget.standardDeviation).toBeGreaterThan(uncertaintyBudget(LONG_EYE, conditions()).standardDeviation)
  })

  it('takes correlated errors together', () => {
    const correlations = [{ between: ['keratometry', 'axial length'] as const, coefficient: 1 }]
    const together = uncertaintyBudget(LONG_EYE, conditions({ lengthMethod: 'contact' }), correlations)
    expect(together.standardDeviation).toBeGreaterThan(
      uncertaintyBudget(LONG_EYE, conditions({ lengthMethod: 'contact' })).standardDeviation,
    )
  })
})

describe('what is worth measuring again', () => {
  it('is the keratometry where the length is optical', () => {
    expect(measureAgain(uncertaintyBudget(LONG_EYE, conditions()))[0]?.errorSource).toBe('keratometry')
  })

  it('is the length, optically, where it was by contact ultrasound', () => {
    const [first] = measureAgain(uncertaintyBudget(LONG_EYE, conditions({ lengthMethod: 'contact' })))
    expect(first?.action).toContain('optically')
    closeTo(first?.standardDeviation ?? 0, 0.457, 0.002)
    expect(first?.narrows).toBeGreaterThan(0.08)
  })

  it('is the place of the fovea in a staphyloma', () => {
    expect(measureAgain(uncertaintyBudget(LONG_EYE, conditions({ staphyloma: true })))[0]?.action).toContain('fovea')
  })
})

describe('chances and intervals', () => {
  it.each([
    [0.628, 57, 89],
    [0.48, 70, 96],
    [0.457, 73, 97],
    [0.547, 64, 93],
    [0.45, 73, 97],
  ])('a standard deviation of %f D leaves %d %% within 0.5 and %d %% within 1 D', (sd, half, one) => {
    closeTo(100 * chanceWithin(dioptres(0.5), dioptres(sd)), half, 0.6)
    closeTo(100 * chanceWithin(dioptres(1), dioptres(sd)), one, 0.6)
  })

  it('shift with a bias, and the hyperopic side gains what the myopic side loses', () => {
    const sd = dioptres(0.5)
    expect(chanceOfHyperopia(dioptres(0.5), sd, dioptres(0.4))).toBeGreaterThan(chanceOfHyperopia(dioptres(0.5), sd))
    closeTo(chanceWithin(dioptres(0.5), sd) + 2 * chanceOfHyperopia(dioptres(0.5), sd), 1, 1e-12)
    const { low, high } = interval95(dioptres(-1), sd, dioptres(0.4))
    closeTo((low + high) / 2, -0.6, 1e-12)
    closeTo(high - low, 1.96, 0.001)
  })
})

describe('systematic errors of length', () => {
  it.each([
    [28, 0.32],
    [31, 0.44],
    [33, 0.48],
  ])('one index for the whole of an eye of %d mm makes it end about %f D hyperopic', (axialLength, bias) => {
    const eye = { axialLength: mm(axialLength), keratometry: dioptres(43), anteriorChamberDepth: mm(3.6) }
    const power = dioptres({ 28: 10, 31: 4.5, 33: -1 }[axialLength] ?? 0)
    const outcome = sensitivitiesOf('holladay-1', eye, { aConstant: 118.7 }, { adjustment: 'none' }, power)
    if (outcome.kind !== 'computed') throw new Error(outcome.reason)
    const segments = axialLengthCooke(mm(axialLength), mm(4.5))
    closeTo(groupIndexBias(mm(axialLength), segments, outcome.value.axialLength).bias, bias, 0.03)
  })

  it('contact ultrasound with optical constants makes a long eye about 0.7 D myopic', () => {
    closeTo(ultrasoundBias('contact', -1.5, 'optical')?.bias ?? 0, -0.7, 0.01)
    expect(ultrasoundBias('optical', -1.5, 'optical')).toBeUndefined()
  })
})

it('the tolerance of a label goes by the size of the power, not its sign', () => {
  expect(lensPowerUncertainty(dioptres(-4)).value).toBe(lensPowerUncertainty(dioptres(4)).value)
  closeTo(lensPowerUncertainty(dioptres(22)).value, 0.4 / Math.sqrt(3), 1e-12)
  closeTo(lensPowerUncertainty(dioptres(31)).value, 1 / Math.sqrt(3), 1e-12)
})
