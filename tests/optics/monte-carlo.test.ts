import { describe, expect, it } from 'vitest'
import { BARE_FORMULAS } from '../../src/optics/bare-formulas.js'
import { evaluate } from '../../src/optics/formulas.js'
import type { LensConstants } from '../../src/optics/lens-formula.js'
import { simulateOutcome } from '../../src/optics/monte-carlo.js'
import { normals, seeded } from '../../src/optics/random.js'
import { sensitivitiesOf } from '../../src/optics/sensitivity.js'
import { type Correlation, chanceWithin, type MeasuringConditions, uncertaintyBudget } from '../../src/optics/uncertainty.js'
import { type AdjustmentId, FORMULAS, type FormulaId } from '../../src/terms/formulas.js'
import { dioptres, mm } from '../../src/terms/units.js'
import { closeTo } from './close-to.js'

const CONSTANTS: LensConstants = { aConstant: 118.7, haigis: { a0: mm(1.2), a1: 0.4, a2: 0.1 } }

function simulated(
  formula: FormulaId,
  axialLength: number,
  keratometry: number,
  power: number,
  over: Partial<MeasuringConditions> & {
    adjustment?: AdjustmentId
    seed?: number
    correlations?: readonly Correlation[]
  } = {},
) {
  const { adjustment = 'none', seed = 7, correlations = [], ...conditions } = over
  const eye = { axialLength: mm(axialLength), keratometry: dioptres(keratometry), anteriorChamberDepth: mm(3.6) }
  const sensitivities = sensitivitiesOf(formula, eye, CONSTANTS, { adjustment }, dioptres(power))
  if (sensitivities.kind !== 'computed') throw new Error(sensitivities.reason)
  const budget = uncertaintyBudget(
    sensitivities.value,
    {
      lengthMethod: 'optical',
      staphyloma: false,
      lensPower: dioptres(power),
      ...conditions,
    },
    correlations,
  )
  const outcome = simulateOutcome(formula, eye, CONSTANTS, { adjustment }, dioptres(power), budget, seed)
  if (outcome.kind !== 'computed') throw new Error(outcome.reason)
  return { ...outcome.value, budget }
}

describe.each(FORMULAS)('%s, simulated', (formula) => {
  it.each([
    [24, 20],
    [31, 4],
    [33, -2],
  ])('spreads like its first-order budget at %d mm with %d D', (axialLength, power) => {
    const { standardDeviation, budget, withinHalf } = simulated(formula, axialLength, 42, power)
    closeTo(standardDeviation, budget.standardDeviation, 0.02)
    closeTo(withinHalf, chanceWithin(dioptres(0.5), budget.standardDeviation), 0.02)
  })

  it('has a bare form that agrees with the checked one', () => {
    const bare = BARE_FORMULAS[formula](CONSTANTS)
    const eye = { axialLength: mm(30), keratometry: dioptres(43), anteriorChamberDepth: mm(3.6) }
    const outcome = evaluate(formula, eye, CONSTANTS, { adjustment: 'none' })
    if (outcome.kind !== 'computed') throw new Error(outcome.reason)
    expect(bare.lensPosition(eye.axialLength, eye.keratometry, eye.anteriorChamberDepth)).toBe(
      outcome.value.effectiveLensPosition,
    )
    expect(bare.opticalLength(eye.axialLength)).toBe(outcome.value.opticalLength)
    expect(bare.cornealPower(eye.keratometry)).toBe(outcome.value.cornealPower)
  })
})

describe('a simulation', () => {
  it('is the same to the bit for the same seed, and another for another', () => {
    expect(simulated('srk-t', 30, 43, 5)).toEqual(simulated('srk-t', 30, 43, 5))
    expect(simulated('srk-t', 30, 43, 5, { seed: 8 }).mean).not.toBe(simulated('srk-t', 30, 43, 5).mean)
  })

  it('says in what share of the eyes SRK/T is undefined, close to its limit', () => {
    const near = simulated('srk-t', 31.1, 45.5, 0)
    expect(near.undefinedShare).toBeGreaterThan(0.1)
    expect(simulated('srk-t', 30, 43, 5).undefinedShare).toBe(0)
  })

  it('lets an adjusted length err less than a measured one', () => {
    const wide: Partial<MeasuringConditions> = { lengthMethod: 'contact' }
    const adjusted = simulated('holladay-1', 30, 43, 6, { ...wide, adjustment: 'wang-koch-2011' })
    expect(adjusted.standardDeviation).toBeLessThan(simulated('holladay-1', 30, 43, 6, wide).standardDeviation)
    closeTo(adjusted.standardDeviation, adjusted.budget.standardDeviation, 0.02)
  })

  it.each([0.9, -0.9])('takes errors together that are correlated by %f, as the budget does', (coefficient) => {
    const between = ['axial length', 'keratometry'] as const
    const over = { lengthMethod: 'contact' as const, correlations: [{ between, coefficient }] }
    const { standardDeviation, budget } = simulated('holladay-1', 30, 43, 5, over)
    closeTo(standardDeviation, budget.standardDeviation, 0.015)
    const apart = simulated('holladay-1', 30, 43, 5, { lengthMethod: 'contact' }).standardDeviation
    expect(Math.sign(standardDeviation - apart)).toBe(Math.sign(coefficient))
  })

  it('refuses correlations that cannot all hold', () => {
    const pairs = [
      ['axial length', 'keratometry', 0.9],
      ['keratometry', 'lens position', 0.9],
      ['axial length', 'lens position', -0.9],
    ] as const
    const correlations = pairs.map(([one, other, coefficient]) => ({ between: [one, other] as const, coefficient }))
    expect(() => simulated('holladay-1', 30, 43, 5, { correlations })).toThrow('No distribution')
  })

  it('refuses too few draws', () => {
    const eye = { axialLength: mm(30), keratometry: dioptres(43) }
    const { budget } = simulated('srk-t', 30, 43, 5)
    const outcome = simulateOutcome('srk-t', eye, CONSTANTS, { adjustment: 'none' }, dioptres(5), budget, 1, 10)
    expect(outcome).toMatchObject({ kind: 'outside-domain', quantity: 'number of draws' })
  })
})

describe('the random numbers', () => {
  const draw = <Value>(count: number, next: () => Value) => Array.from({ length: count }, next)
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length

  it('are uniform and independent as far as simple moments tell', () => {
    const values = draw(200_000, seeded(3))
    closeTo(mean(values), 0.5, 0.003)
    closeTo(mean(values.map((value) => (value - 0.5) * (value - 0.5))), 1 / 12, 0.001)
    closeTo(mean(values.slice(1).map((value, place) => (value - 0.5) * ((values[place] ?? 0) - 0.5))), 0, 0.001)
    expect(Math.min(...values.slice(0, 50_000))).toBeGreaterThanOrEqual(0)
    expect(Math.max(...values.slice(0, 50_000))).toBeLessThan(1)
  })

  it('differ from seed to seed, next-door seeds included', () => {
    expect(
      new Set(
        draw(
          1000,
          (() => {
            let seed = 0
            return () => seeded(seed++)()
          })(),
        ),
      ).size,
    ).toBe(1000)
  })

  it('have the moments of a normal distribution', () => {
    const values = draw(200_000, normals(seeded(11)))
    closeTo(mean(values), 0, 0.01)
    closeTo(mean(values.map((value) => value * value)), 1, 0.015)
    closeTo(mean(values.map((value) => value * value * value * value)), 3, 0.1)
    closeTo(values.filter((value) => Math.abs(value) < 1.959964).length / values.length, 0.95, 0.002)
  })
})
