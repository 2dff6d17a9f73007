import { describe, expect, it } from 'vitest'
import { evaluate } from '../../src/optics/formulas.js'
import { aniseikonia, retinalImagePerDegree, spectacleMagnification } from '../../src/optics/magnification.js'
import { dioptres, mm } from '../../src/terms/units.js'
import { closeTo, lastDigit } from './close-to.js'

/** Image per degree in an eye made sharp by its lens and spectacles, Haigis start values from A 118.7, 43.5 D. */
function imageOf(axialLength: number, depth: number, spectacles: number) {
  const eye = { axialLength: mm(axialLength), keratometry: dioptres(43.5), anteriorChamberDepth: mm(depth) }
  const outcome = evaluate('haigis', eye, { aConstant: 118.7 }, { adjustment: 'none' })
  if (outcome.kind !== 'computed') throw new Error(outcome.reason)
  const { cornealPower, effectiveLensPosition, powerFor } = outcome.value
  const target = dioptres(spectacles)
  return retinalImagePerDegree({ cornealPower, effectiveLensPosition, lensPower: powerFor(target), spectacles: target })
}

describe('spectacle magnification', () => {
  it.each([
    [-2, 0.9709],
    [-20, 0.7692],
    [12, 1.2195],
  ])('%d D', (power, magnification) => closeTo(spectacleMagnification(dioptres(power)), magnification, lastDigit(4)))

  it('of a thick plus lens', () => {
    const form = { thickness: mm(5), index: 1.5, frontPower: dioptres(12) }
    closeTo(spectacleMagnification(dioptres(12), mm(12), form), 1.2703, lastDigit(4))
  })
})

describe('the retinal image', () => {
  it.each([
    [23.5, 3.1, 0, 0.286296],
    [23.5, 3.1, -2, 0.276999],
    [31, 3.6, 0, 0.404143],
    [31, 3.6, -2, 0.390211],
  ])('at %f mm, depth %f mm, spectacles %d D', (axialLength, depth, spectacles, image) => {
    closeTo(imageOf(axialLength, depth, spectacles), image, 2e-6)
  })

  it('compares with itself as equal', () => expect(aniseikonia(mm(0.3), mm(0.3))).toBe(0))
})
