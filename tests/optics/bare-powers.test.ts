import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { evaluate } from '../../src/optics/formulas.js'
import { haigisPower, haigisRefraction } from '../../src/optics/haigis.js'
import { hofferQPower, hofferQRefraction } from '../../src/optics/hoffer-q.js'
import { holladay1Power, holladay1Refraction } from '../../src/optics/holladay-1.js'
import { atStandardIndex } from '../../src/optics/keratometry.js'
import { axialLength2011, axialLength2018 } from '../../src/optics/length-adjustments.js'
import {
  personalisedAcdFromSurgeonFactor,
  surgeonFactorFromA,
  surgeonFactorFromPersonalisedAcd,
} from '../../src/optics/lens-constants.js'
import { srkTPower, srkTRefraction } from '../../src/optics/srk-t.js'
import { t2Power, t2Refraction } from '../../src/optics/t2.js'
import { FORMULAS, type FormulaId } from '../../src/terms/formulas.js'
import type { Outcome } from '../../src/terms/outcome.js'
import { type Dioptres, dioptres, type Millimetres, mm } from '../../src/terms/units.js'
import { closeTo, lastDigit } from './close-to.js'

const A = 118.7
const SF = mm(1.62)
const ACD = mm(5.37)
const HAIGIS = { a0: mm(1.2), a1: 0.4, a2: 0.1 }
const DEPTH = mm(3.5)

type Bare = (axialLength: Millimetres, keratometry: Dioptres, given: Dioptres) => Dioptres
const BARE: Readonly<Record<FormulaId, { readonly power: Bare; readonly refraction: Bare }>> = {
  'srk-t': { power: (l, k, rx) => srkTPower(l, k, A, rx), refraction: (l, k, p) => srkTRefraction(l, k, A, p) },
  t2: { power: (l, k, rx) => t2Power(l, k, A, rx), refraction: (l, k, p) => t2Refraction(l, k, A, p) },
  'holladay-1': {
    power: (l, k, rx) => holladay1Power(l, k, SF, rx),
    refraction: (l, k, p) => holladay1Refraction(l, k, SF, p),
  },
  'hoffer-q': { power: (l, k, rx) => hofferQPower(l, k, ACD, rx), refraction: (l, k, p) => hofferQRefraction(l, k, ACD, p) },
  haigis: {
    power: (l, k, rx) => haigisPower(l, k, DEPTH, HAIGIS, rx),
    refraction: (l, k, p) => haigisRefraction(l, k, DEPTH, HAIGIS, p),
  },
}
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true })

describe.each(FORMULAS)('the bare functions of %s', (formula) => {
  it('agree with the checked evaluation to the bit, and undo each other', () => {
    fc.assert(
      fc.property(between(20, 36), between(39, 44), between(-6, 3), (axialLength, keratometry, target) => {
        const eye = { axialLength: mm(axialLength), keratometry: dioptres(keratometry), anteriorChamberDepth: DEPTH }
        const constants = { aConstant: A, surgeonFactor: SF, personalisedAcd: ACD, haigis: HAIGIS }
        const outcome = evaluate(formula, eye, constants, { adjustment: 'none' })
        if (outcome.kind !== 'computed') throw new Error(outcome.reason)
        const power = BARE[formula].power(eye.axialLength, eye.keratometry, dioptres(target))
        expect(power).toBe(outcome.value.powerFor(dioptres(target)))
        const refraction = BARE[formula].refraction(eye.axialLength, eye.keratometry, power)
        expect(refraction).toBe(outcome.value.refractionFor(power))
        closeTo(refraction, target, 1e-9)
      }),
    )
  })
})

describe('readings and constants, converted both ways', () => {
  it('a keratometry at another index, at 1.3375', () => {
    closeTo(atStandardIndex(dioptres(332 / 7.5), 1.332), 45, 1e-9)
    closeTo(atStandardIndex(dioptres(43), 1.3375), 43, 1e-12)
  })
  it('a surgeon factor and a personalised chamber depth', () => {
    fc.assert(
      fc.property(between(-3, 6), (factor) => {
        closeTo(surgeonFactorFromPersonalisedAcd(personalisedAcdFromSurgeonFactor(mm(factor))), factor, 1e-12)
      }),
    )
  })
})

describe('the adjusted lengths', () => {
  const adjusted = (outcome: Outcome<Millimetres>): Millimetres => {
    if (outcome.kind !== 'computed') throw new Error(outcome.reason)
    return outcome.value
  }
  /** Power for -1.00 D under 43 D with A 118.7, by an independent transcription. */
  it.each([
    [26, 15.796, 15.51, 15.802],
    [28, 10.68, 10.795, 10.875],
    [30, 6.291, 6.484, 6.297],
    [32, 2.486, 2.527, 2.087],
    [34, -0.846, -1.097, -1.644],
  ])('of 2011 give the worked powers at %d mm', (axialLength, holladay, srk, hoffer) => {
    const length = (formula: FormulaId) => adjusted(axialLength2011(formula, mm(axialLength)))
    const target = dioptres(-1)
    const cornea = dioptres(43)
    closeTo(holladay1Power(length('holladay-1'), cornea, surgeonFactorFromA(A), target), holladay, lastDigit(3))
    closeTo(srkTPower(length('srk-t'), cornea, A, target), srk, lastDigit(3))
    const acd = personalisedAcdFromSurgeonFactor(surgeonFactorFromA(A))
    closeTo(hofferQPower(length('hoffer-q'), cornea, acd, target), hoffer, lastDigit(3))
  })

  it.each([
    [28, 10.391, 10.532],
    [30, 6.1, 6.286],
    [32, 2.37, 2.386],
    [34, -0.903, -1.19],
  ])('of 2018 give the worked powers at %d mm', (axialLength, holladay, srk) => {
    const length = (formula: FormulaId) => adjusted(axialLength2018(formula, mm(axialLength)))
    const target = dioptres(-1)
    closeTo(holladay1Power(length('holladay-1'), dioptres(43), surgeonFactorFromA(A), target), holladay, lastDigit(3))
    closeTo(srkTPower(length('srk-t'), dioptres(43), A, target), srk, lastDigit(3))
  })

  it('are refused below their threshold, for other formulas, and for no eye', () => {
    expect(axialLength2018('srk-t', mm(27))).toMatchObject({ reason: expect.stringContaining('above 27.0 mm') })
    expect(axialLength2011('t2', mm(30))).toMatchObject({ reason: expect.stringContaining('not published for this formula') })
    expect(axialLength2011('srk-t', mm(300))).toMatchObject({ kind: 'outside-domain' })
    expect(axialLength2011('srk-t', mm(Number.NaN))).toMatchObject({ kind: 'outside-domain' })
  })
})
