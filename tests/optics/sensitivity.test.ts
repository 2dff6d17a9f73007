import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { evaluate } from '../../src/optics/formulas.js'
import { sensitivitiesOf, thinLensPartials } from '../../src/optics/sensitivity.js'
import { thinLensRefraction } from '../../src/optics/vergence.js'
import type { FormulaId } from '../../src/terms/formulas.js'
import { dioptres, mm } from '../../src/terms/units.js'
import { closeTo } from './close-to.js'

const partials = (l: number, k: number, d: number, p: number) => thinLensPartials(mm(l), dioptres(k), mm(d), dioptres(p))

const of = (formula: FormulaId, axialLength: number, keratometry: number, depth: number, power: number) => {
  const eye = { axialLength: mm(axialLength), keratometry: dioptres(keratometry), anteriorChamberDepth: mm(depth) }
  const outcome = sensitivitiesOf(formula, eye, { aConstant: 118.7 }, { adjustment: 'none' }, dioptres(power))
  if (outcome.kind !== 'computed') throw new Error(outcome.reason)
  return outcome.value
}

describe('partial derivatives of the thin-lens refraction', () => {
  /** An eye of 31 mm, lens at 5.9 mm, cornea 42 D, by an independent transcription. */
  it.each([
    [-10, -0.449, -1.093],
    [-6, -0.283, -1.187],
    [-3, -0.147, -1.267],
    [-1, -0.05, -1.324],
    [0, 0, -1.354],
    [1, 0.052, -1.386],
    [3, 0.159, -1.451],
    [6, 0.332, -1.559],
    [10, 0.587, -1.723],
  ])('with a lens of %d D are %f D/mm of position and %f D/mm of length', (power, perPosition, perLength) => {
    closeTo(partials(31, 42, 5.9, power).perPosition, perPosition, 0.001)
    closeTo(partials(31, 42, 5.9, power).perLength, perLength, 0.001)
  })

  it('are the slopes of the refraction itself', () => {
    const between = (min: number, max: number) => fc.double({ min, max, noNaN: true })
    fc.assert(
      fc.property(between(20, 36), between(38, 48), between(3, 8), between(-15, 30), (l, k, d, p) => {
        const step = 1e-5
        const slope = (at: (by: number) => number) => (at(step) - at(-step)) / (2 * step)
        const refraction = (dl: number, dk: number, dd: number, dp: number) =>
          thinLensRefraction(mm(l + dl), dioptres(k + dk), mm(d + dd), dioptres(p + dp))
        const { perLength, perCornea, perPosition, perPower } = partials(l, k, d, p)
        const relative = (actual: number, expected: number) => closeTo(actual, expected, 1e-5 * (1 + Math.abs(expected)))
        relative(
          perLength,
          slope((by) => refraction(by, 0, 0, 0)),
        )
        relative(
          perCornea,
          slope((by) => refraction(0, by, 0, 0)),
        )
        relative(
          perPosition,
          slope((by) => refraction(0, 0, by, 0)),
        )
        relative(
          perPower,
          slope((by) => refraction(0, 0, 0, by)),
        )
      }),
    )
  })
})

describe('sensitivities through a formula', () => {
  it.each([
    ['srk-t', -1.4434],
    ['t2', -1.409],
    ['holladay-1', -1.512],
    ['hoffer-q', -1.538],
    ['haigis', -1.488],
  ] as const)('%s moves by %f D per mm of length at 31 mm', (formula, perLength) => {
    closeTo(of(formula, 31, 43, 3.6, 4.5).axialLength, perLength, 0.001)
    const { keratometry } = of(formula, 31, 43, 3.6, 4.5)
    expect(keratometry).toBeGreaterThan(-1.055)
    expect(keratometry).toBeLessThan(-0.935)
  })

  it('Haigis hardly moves with the chamber depth in a long eye, and does in an ordinary one', () => {
    closeTo(of('haigis', 31, 43, 3.6, 4.5).anteriorChamberDepth, 0.097, 0.001)
    closeTo(of('haigis', 23.5, 43, 3.1, 22).anteriorChamberDepth, 0.55, 0.025)
    expect(of('srk-t', 31, 43, 3.6, 4.5).anteriorChamberDepth).toBe(0)
  })

  it.each([
    [23.5, -0.69],
    [30, -0.65],
    [34, -0.62],
  ])('one dioptre of lens at %f mm is %f D of refraction, not a fixed share', (axialLength, perPower) => {
    const depth = 3.1 + 0.08 * (axialLength - 23.5)
    const eye = { axialLength: mm(axialLength), keratometry: dioptres(43), anteriorChamberDepth: mm(depth) }
    const outcome = evaluate('haigis', eye, { aConstant: 118.7 }, { adjustment: 'none' })
    if (outcome.kind !== 'computed') throw new Error(outcome.reason)
    closeTo(of('haigis', axialLength, 43, depth, outcome.value.powerFor(dioptres(0))).lensPower, perPower, 0.01)
  })

  it('takes the side on which the eye lies where an adjustment begins', () => {
    const eye = { axialLength: mm(25.00001), keratometry: dioptres(43) }
    const outcome = sensitivitiesOf('holladay-1', eye, { aConstant: 118.7 }, { adjustment: 'wang-koch-2011' }, dioptres(17))
    if (outcome.kind !== 'computed') throw new Error(outcome.reason)
    expect(outcome.value.axialLength).toBeGreaterThan(-3)
    expect(outcome.value.axialLength).toBeLessThan(-1)
  })

  /** Both lengths are printed to the hundredth by every biometer: the formulas' own thresholds are met exactly. */
  it.each([
    ['hoffer-q', 23],
    ['srk-t', 24.2],
  ] as const)('%s is as steep at %f mm, where it jumps, as a hundredth to either side', (formula, axialLength) => {
    const steepness = (length: number) => of(formula, length, 43.5, 3.1, 21).axialLength
    for (const length of [axialLength, axialLength - 5e-5, axialLength + 5e-5]) {
      closeTo(steepness(length), steepness(axialLength - 0.01), 0.3)
      closeTo(steepness(length), steepness(axialLength + 0.01), 0.3)
    }
  })
})
