import { describe, it } from 'vitest'
import { posteriorByRatio } from '../../src/optics/posterior-cornea.js'
import { residualWith, shareLeftByRotation } from '../../src/optics/toric.js'
import { degrees, dioptres } from '../../src/terms/units.js'
import { closeTo, lastDigit } from '../optics/close-to.js'

/** Felipe A et al. Residual astigmatism produced by toric IOL rotation. J Cataract Refract Surg 2011 (abstract). */
describe('Felipe 2011', () => {
  it('ten degrees of rotation leave one third of the corneal astigmatism', () => {
    const share = shareLeftByRotation(degrees(10))
    if (share.kind !== 'computed') throw new Error(share.reason)
    closeTo(share.value, 1 / 3, 0.02)
    const residual = residualWith({ magnitude: dioptres(2), meridian: degrees(90) }, dioptres(2), degrees(100))
    closeTo(residual.magnitude, 2 / 3, 0.04)
  })

  it.each([0.5, 1, 1.5])('a lens of %f times the corneal astigmatism loses its effect where the cosine says', (ratio) => {
    // As printed, cos(180 + 2b) = -r/2: at that rotation the residual equals the astigmatism without a lens.
    const turned = (Math.acos(ratio / 2) / 2) * (180 / Math.PI)
    const residual = residualWith({ magnitude: dioptres(1), meridian: degrees(90) }, dioptres(ratio), degrees(90 + turned))
    closeTo(residual.magnitude, 1, 1e-9)
  })
})

/** Eom Y et al. Am J Ophthalmol 2015, pp 717-724 (abstract). */
describe('Eom 2015, astigmatism of the back of the cornea', () => {
  it.each([
    ['with the rule', 2, 90, 0.15 * 2 + 0.22],
    ['oblique', 2, 45, 0.05 * 2 + 0.27],
    ['against the rule', 2, 180, 0.27],
  ])('%s', (_, cylinder, meridian, expected) => {
    const posterior = posteriorByRatio({ magnitude: dioptres(cylinder), meridian: degrees(meridian) })
    if (posterior.kind !== 'computed') throw new Error(posterior.reason)
    closeTo(posterior.value.magnitude, expected, lastDigit(6))
  })
})
