import { describe, expect, it } from 'vitest'
import { evaluate } from '../../src/optics/formulas.js'
import { aniseikonia, retinalImagePerDegree, spectacleMagnification } from '../../src/optics/magnification.js'
import { dioptres, mm } from '../../src/terms/units.js'
import { closeTo } from '../optics/close-to.js'

/** Duane's Ophthalmology, chapter 68: aphakic spectacles enlarge by 20 to 35 %. */
it('aphakic spectacles of +12 D enlarge as the handbook says', () => {
  const thin = spectacleMagnification(dioptres(12))
  const thick = spectacleMagnification(dioptres(12), mm(12), { thickness: mm(5), index: 1.5, frontPower: dioptres(12) })
  for (const magnification of [thin, thick]) {
    expect(magnification).toBeGreaterThanOrEqual(1.2)
    expect(magnification).toBeLessThanOrEqual(1.35)
  }
})

/**
 * Langenbucher A et al. Acta Ophthalmol 2022;100:e1675-e1684 (abstract): monovision of -0.5 to -2 D makes the
 * spectacle-corrected image about 2 % smaller. The eye of 23.5 mm is ours.
 */
describe('monovision, corrected by spectacles', () => {
  const eye = { axialLength: mm(23.5), keratometry: dioptres(43.5), anteriorChamberDepth: mm(3.1) }
  const outcome = evaluate('haigis', eye, { aConstant: 118.7 }, { adjustment: 'none' })
  if (outcome.kind !== 'computed') throw new Error(outcome.reason)
  const { cornealPower, effectiveLensPosition, powerFor } = outcome.value
  const image = (spectacles: number) => {
    const target = dioptres(spectacles)
    return retinalImagePerDegree({ cornealPower, effectiveLensPosition, lensPower: powerFor(target), spectacles: target })
  }
  const smaller = (spectacles: number) => aniseikonia(image(spectacles), image(0))

  it('in the middle of the range makes the image 2 % smaller', () => closeTo(smaller(-1.25), -2, 0.5))
  it('over the range lies about that', () => {
    expect(smaller(-0.5)).toBeLessThan(0)
    expect(smaller(-0.5)).toBeGreaterThan(-2)
    expect(smaller(-2)).toBeLessThan(-2)
    expect(smaller(-2)).toBeGreaterThan(-4)
  })
})
