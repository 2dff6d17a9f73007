import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { powerVector, sumOf, transposed } from '../../src/optics/astigmatism.js'
import { haigisCornealPower } from '../../src/optics/haigis.js'
import {
  orientationOf,
  posteriorByRatio,
  totalByRatio,
  totalByRegression,
  totalByScaling,
} from '../../src/optics/posterior-cornea.js'
import { afterIncision, cylinderRatio, lensPlaneCylinder, residualWith, shareLeftByRotation } from '../../src/optics/toric.js'
import type { Outcome } from '../../src/terms/outcome.js'
import { degrees, dioptres, mm } from '../../src/terms/units.js'
import { closeTo, lastDigit } from './close-to.js'

const at = (magnitude: number, meridian: number) => ({ magnitude: dioptres(magnitude), meridian: degrees(meridian) })
const computedBy = <Value>(outcome: Outcome<Value>): Value => {
  if (outcome.kind !== 'computed') throw new Error(outcome.reason)
  return outcome.value
}
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true })

describe('sums of astigmatism', () => {
  it.each([
    [2, 90, 0.5, 90, 2.5, 90],
    [1.5, 20, 0.4, 110, 1.1, 20],
    [1.25, 170, 0.5, 35, 1.3463, 0.901],
  ])('%f @ %d and %f @ %d', (one, oneAt, other, otherAt, sum, sumAt) => {
    const total = sumOf([at(one, oneAt), at(other, otherAt)])
    closeTo(total.magnitude, sum, lastDigit(4))
    closeTo(total.meridian, sumAt, lastDigit(3))
  })

  it('cancel for equal amounts at right angles, whatever the meridian', () => {
    fc.assert(
      fc.property(between(0, 10), between(0, 180), (magnitude, meridian) => {
        closeTo(sumOf([at(magnitude, meridian), at(magnitude, meridian + 90)]).magnitude, 0, 1e-12)
      }),
    )
  })

  it('an incision on the steep meridian flattens it', () => {
    closeTo(afterIncision(at(1.5, 90), degrees(90), dioptres(0.5)).magnitude, 1, 1e-12)
    closeTo(afterIncision(at(1.5, 90), degrees(0), dioptres(0.5)).magnitude, 2, 1e-12)
  })

  it('a transposed refraction has the same power vector, and transposing twice changes nothing', () => {
    fc.assert(
      fc.property(between(-20, 20), between(-6, 6), between(0.001, 180), (sphere, cylinder, axis) => {
        const refraction = { sphere: dioptres(sphere), cylinder: dioptres(cylinder), axis: degrees(axis) }
        const [one, other] = [powerVector(refraction), powerVector(transposed(refraction))]
        closeTo(one.mean, other.mean, 1e-9)
        closeTo(one.j0, other.j0, 1e-9)
        closeTo(one.j45, other.j45, 1e-9)
        closeTo(transposed(transposed(refraction)).axis, axis, 1e-9)
      }),
    )
  })
})

describe('the back of the cornea', () => {
  /** Flat and steep keratometry, steep meridian, then the estimate, by an independent transcription. */
  it.each([
    [1, 90, 0.4181, 89.38],
    [2, 90, 1.344, 89.81],
    [1, 180, 1.434, 0.18],
    [2, 180, 2.36, 0.11],
    [1.5, 100, 0.925, 105.24],
    [0.3, 90, 0.2304, 1.12],
    [1.25, 12, 1.6382, 8.57],
  ])('by regression %f @ %d becomes %f @ %f', (magnitude, meridian, total, totalAt) => {
    const estimate = computedBy(totalByRegression(at(magnitude, meridian)))
    closeTo(estimate.magnitude, total, lastDigit(4))
    closeTo(estimate.meridian, totalAt, lastDigit(2))
  })

  it('lowers astigmatism with the rule and raises it against, by ratio too', () => {
    closeTo(computedBy(totalByRatio(at(2, 90))).magnitude, 1.48, 1e-9)
    closeTo(computedBy(totalByRatio(at(2, 0))).magnitude, 2.27, 1e-9)
  })

  it('is refused by the scaling where it was not published', () => {
    closeTo(computedBy(totalByScaling(at(1, 90), dioptres(1.5))).magnitude, 0.75, 1e-12)
    closeTo(computedBy(totalByScaling(at(1, 5), dioptres(1.5))).magnitude, 1.41, 1e-12)
    expect(totalByScaling(at(1, 90), dioptres(2.5))).toMatchObject({ quantity: 'lens cylinder' })
    expect(totalByScaling(at(1, 45), dioptres(1.5))).toMatchObject({ quantity: 'steep meridian' })
  })

  it('is refused for an astigmatism that no cornea has', () => {
    for (const method of [totalByRegression, posteriorByRatio, totalByRatio]) {
      expect(method(at(13, 90))).toMatchObject({ quantity: 'corneal astigmatism' })
      expect(method(at(Number.NaN, 90))).toMatchObject({ quantity: 'corneal astigmatism' })
    }
  })

  it.each([
    [90, 'with-the-rule'],
    [60, 'with-the-rule'],
    [59, 'oblique'],
    [31, 'oblique'],
    [30, 'against-the-rule'],
    [0, 'against-the-rule'],
    [180, 'against-the-rule'],
    [150, 'against-the-rule'],
    [149, 'oblique'],
  ] as const)('a steep meridian of %d degrees is %s', (meridian, orientation) => {
    expect(orientationOf(degrees(meridian))).toBe(orientation)
  })
})

describe('cylinder at the lens plane', () => {
  /** Keratometry 43 D, emmetropia, lens position of Haigis with start values from A 118.7, by an independent transcription. */
  it.each([
    [21, 4.974, 1.408, 2.816],
    [23.5, 5.304, 1.444, 2.887],
    [26, 5.634, 1.48, 2.961],
    [28, 5.898, 1.511, 3.022],
    [30, 6.162, 1.542, 3.085],
    [32, 6.426, 1.575, 3.15],
    [34, 6.69, 1.608, 3.217],
  ])('at %f mm: ratio and the lens cylinder for 2 D of cornea', (axialLength, position, ratio, cylinder) => {
    const cornea = haigisCornealPower(dioptres(43))
    closeTo(cylinderRatio(cornea, mm(position)), ratio, 0.001)
    const lens = lensPlaneCylinder(mm(axialLength), dioptres(cornea - 1), dioptres(cornea + 1), mm(position), dioptres(0))
    closeTo(computedBy(lens), cylinder, 0.002)
  })

  it('refuses a steep meridian flatter than the flat one', () => {
    expect(lensPlaneCylinder(mm(24), dioptres(44), dioptres(43), mm(5), dioptres(0))).toMatchObject({
      quantity: 'corneal astigmatism',
    })
  })
})

describe('rotation', () => {
  it('leaves what the difference of the vectors leaves', () => {
    fc.assert(
      fc.property(between(0.25, 6), between(0, 180), between(0, 90), (magnitude, meridian, turned) => {
        const residual = residualWith(at(magnitude, meridian), dioptres(magnitude), degrees(meridian + turned))
        closeTo(residual.magnitude, magnitude * computedBy(shareLeftByRotation(degrees(turned))), 1e-9)
      }),
    )
  })

  it('gains nothing at 30 degrees', () => closeTo(computedBy(shareLeftByRotation(degrees(30))), 1, 1e-12))
  it('is refused beyond 90 degrees', () => {
    expect(shareLeftByRotation(degrees(91))).toMatchObject({ quantity: 'rotation' })
  })
})
