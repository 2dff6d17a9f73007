import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { evaluate } from '../../src/optics/formulas.js'
import { keratometryFromRadius, radiusFromKeratometry } from '../../src/optics/keratometry.js'
import type { LensConstants } from '../../src/optics/lens-formula.js'
import {
  lensPositionFrom,
  refractionAtCornea,
  refractionAtSpectacle,
  thinLensPower,
  thinLensRefraction,
} from '../../src/optics/vergence.js'
import { FORMULAS, type FormulaId } from '../../src/terms/formulas.js'
import { dioptres, mm } from '../../src/terms/units.js'
import { closeTo } from './close-to.js'

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true, noDefaultInfinity: true })
const CONSTANTS: LensConstants = { aConstant: 118.7, haigis: { a0: mm(1.2), a1: 0.4, a2: 0.1 } }
const DEPTH = mm(3.5)

/** Eyes of every length to 36 mm, under corneas for which each formula is far from its limits. */
const length = between(20, 36)
const cornea = between(39, 43.5)

const solved = (formula: FormulaId, axialLength: number, keratometry: number, constants = CONSTANTS) => {
  const eye = { axialLength: mm(axialLength), keratometry: dioptres(keratometry), anteriorChamberDepth: DEPTH }
  const outcome = evaluate(formula, eye, constants, { adjustment: 'none' })
  if (outcome.kind !== 'computed') throw new Error(outcome.reason)
  return outcome.value
}

describe.each(FORMULAS)('%s', (formula) => {
  it('gives back the power from the refraction that it predicts, through zero', () => {
    fc.assert(
      fc.property(length, cornea, between(-15, 35), (axialLength, keratometry, power) => {
        const { powerFor, refractionFor } = solved(formula, axialLength, keratometry)
        closeTo(powerFor(refractionFor(dioptres(power))), power, 1e-9)
      }),
    )
  })

  it('asks for less power the longer the eye', () => {
    fc.assert(
      fc.property(length, cornea, between(0.05, 1), (axialLength, keratometry, more) => {
        // A jump of 0.001 mm in one formula at 23 mm, and its steepest part, leave this true for 0.05 mm.
        const shorter = solved(formula, axialLength - more, keratometry).powerFor(dioptres(-1))
        expect(solved(formula, axialLength, keratometry).powerFor(dioptres(-1))).toBeLessThan(shorter)
      }),
    )
  })

  it('asks for less power the steeper the cornea', () => {
    fc.assert(
      fc.property(length, cornea, between(0.01, 1), (axialLength, keratometry, more) => {
        const flatter = solved(formula, axialLength, keratometry - more).powerFor(dioptres(0))
        expect(solved(formula, axialLength, keratometry).powerFor(dioptres(0))).toBeLessThan(flatter)
      }),
    )
  })

  it('predicts less myopia the weaker the lens, with no step at zero power', () => {
    fc.assert(
      fc.property(length, cornea, between(1e-9, 1e-3), (axialLength, keratometry, little) => {
        const { refractionFor } = solved(formula, axialLength, keratometry)
        const [minus, zero, plus] = [-little, 0, little].map((power) => refractionFor(dioptres(power)))
        if (minus === undefined || zero === undefined || plus === undefined) throw new Error('three powers')
        expect(minus).toBeGreaterThan(plus)
        expect(minus - plus).toBeLessThan(3 * little)
        expect(zero).toBeGreaterThanOrEqual(plus)
      }),
    )
  })

  it('predicts the same without a lens whatever the constants', () => {
    fc.assert(
      fc.property(length, cornea, between(114, 122), (axialLength, keratometry, aConstant) => {
        const a0 = mm(aConstant / 100)
        const other = solved(formula, axialLength, keratometry, { aConstant, haigis: { a0, a1: 0.3, a2: 0.2 } })
        const first = solved(formula, axialLength, keratometry)
        closeTo(other.refractionFor(dioptres(0)), first.refractionFor(dioptres(0)), 1e-9)
      }),
    )
  })

  it('answers the same for a cornea given in millimetres', () => {
    fc.assert(
      fc.property(length, cornea, (axialLength, keratometry) => {
        const again = keratometryFromRadius(radiusFromKeratometry(dioptres(keratometry)))
        const power = solved(formula, axialLength, keratometry).powerFor(dioptres(0))
        closeTo(solved(formula, axialLength, again).powerFor(dioptres(0)), power, 1e-9)
      }),
    )
  })
})

describe('planes and positions', () => {
  it('carries a refraction to the cornea and back', () => {
    fc.assert(
      fc.property(between(-40, 25), between(0, 16), (refraction, vertex) => {
        closeTo(refractionAtSpectacle(refractionAtCornea(dioptres(refraction), mm(vertex)), mm(vertex)), refraction, 1e-9)
      }),
    )
  })

  it('recovers the lens position from the refraction that it leaves', () => {
    fc.assert(
      fc.property(between(21, 34), between(38, 47), between(3, 7), between(2, 30), fc.boolean(), (l, k, d, size, minus) => {
        const power = dioptres(minus ? -size / 2 : size)
        const found = thinLensRefraction(mm(l), dioptres(k), mm(d), power)
        const outcome = lensPositionFrom(mm(l), dioptres(k), power, found)
        if (outcome.kind !== 'computed') throw new Error(outcome.reason)
        closeTo(outcome.value, d, 1e-7)
      }),
    )
  })

  it('says that a lens without power tells nothing of its position', () => {
    expect(lensPositionFrom(mm(31), dioptres(42), dioptres(0), dioptres(1))).toMatchObject({
      kind: 'outside-domain',
      quantity: 'lens power',
    })
  })

  it('moves by millimetres on a quarter dioptre when the power is 1 D', () => {
    const found = (power: number, error: number) => {
      const refraction = thinLensRefraction(mm(31), dioptres(42), mm(6.4), dioptres(power)) + error
      const outcome = lensPositionFrom(mm(31), dioptres(42), dioptres(power), dioptres(refraction))
      if (outcome.kind !== 'computed') throw new Error(outcome.reason)
      return outcome.value
    }
    expect(found(1, 0.25) - found(1, -0.25)).toBeGreaterThan(9)
    expect(Math.abs(found(10, 0.25) - found(10, -0.25))).toBeLessThan(1)
  })

  it('changes sign of the effect of position with the sign of the power', () => {
    const slope = (power: number) =>
      thinLensRefraction(mm(31), dioptres(42), mm(5.91), dioptres(power)) -
      thinLensRefraction(mm(31), dioptres(42), mm(5.89), dioptres(power))
    expect(slope(6)).toBeGreaterThan(0)
    expect(slope(-6)).toBeLessThan(0)
    closeTo(slope(0), 0, 1e-12)
    expect(thinLensPower(mm(31), dioptres(42), mm(5.9), dioptres(0))).toBeDefined()
  })
})
