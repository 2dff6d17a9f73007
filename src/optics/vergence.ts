import type { Outcome } from '../terms/outcome.js'
import { computed } from '../terms/outcome.js'
import { type Dioptres, dioptres, type Millimetres, mm } from '../terms/units.js'
import { noAnswer } from './no-answer.js'

/** Refractive index of aqueous and vitreous, times 1000 so that lengths in mm give vergences in dioptres. */
export const AQUEOUS = 1336

/** Distance from the spectacle lens to the cornea that all five published formulas assume. */
export const VERTEX_DISTANCE = mm(12)

/**
 * A spectacle refraction carried to the corneal plane.
 *
 * - Domain: any refraction whose far point does not fall on the cornea (|refraction| well below 83 D at 12 mm).
 * - Source: standard effectivity of a thin lens.
 *
 * @example
 * ```ts
 * refractionAtCornea(dioptres(-20)) // => -16.129032
 * ```
 * @param atSpectacle dioptres at the spectacle plane
 * @param vertexDistance mm from spectacle lens to cornea
 * @returns dioptres at the corneal plane
 */
export const refractionAtCornea = (atSpectacle: Dioptres, vertexDistance: Millimetres = VERTEX_DISTANCE): Dioptres =>
  dioptres(atSpectacle / (1 - 0.001 * vertexDistance * atSpectacle))

/**
 * A refraction at the corneal plane carried to the spectacle plane; the inverse of `refractionAtCornea`.
 *
 * @example
 * ```ts
 * refractionAtSpectacle(dioptres(-16.129032258)) // => -20
 * ```
 * @param atCornea dioptres at the corneal plane
 * @param vertexDistance mm from spectacle lens to cornea
 * @returns dioptres at the spectacle plane
 */
export const refractionAtSpectacle = (atCornea: Dioptres, vertexDistance: Millimetres = VERTEX_DISTANCE): Dioptres =>
  dioptres(atCornea / (1 + 0.001 * vertexDistance * atCornea))

/**
 * Power of a thin lens inside the eye that leaves a wanted refraction.
 *
 * Zero and negative powers are ordinary values of the same expression.
 *
 * - Domain: the lens lies between cornea and retina and in front of the focus of the cornea.
 * - Source: Fyodorov SN, Galin MA, Linksz A. Invest Ophthalmol 1975;14:625-628, and the other thin-lens vergence papers of those years.
 *
 * @example
 * ```ts
 * thinLensPower(mm(23.7), dioptres(42.962963), mm(5.189574), dioptres(0)) // => 20.606422
 * ```
 * @param opticalLength cornea to retina as the formula takes it, mm
 * @param cornealPower corneal power as the formula takes it, dioptres
 * @param lensPosition cornea to thin lens, mm
 * @param target refraction wanted, dioptres at the spectacle plane
 * @returns lens power in dioptres, signed
 */
export function thinLensPower(
  opticalLength: Millimetres,
  cornealPower: Dioptres,
  lensPosition: Millimetres,
  target: Dioptres,
): Dioptres {
  const behindCornea = cornealPower + refractionAtCornea(target)
  return dioptres(AQUEOUS / (opticalLength - lensPosition) - AQUEOUS / (AQUEOUS / behindCornea - lensPosition))
}

/**
 * Refraction that a thin lens of a given power leaves; the inverse of `thinLensPower`.
 *
 * - Domain and source: as `thinLensPower`.
 *
 * @example
 * ```ts
 * thinLensRefraction(mm(23.7), dioptres(42.962963), mm(5.189574), dioptres(22)) // => -0.983098
 * ```
 * @param opticalLength mm
 * @param cornealPower dioptres
 * @param lensPosition mm
 * @param power lens power, dioptres, signed
 * @returns dioptres at the spectacle plane
 */
export function thinLensRefraction(
  opticalLength: Millimetres,
  cornealPower: Dioptres,
  lensPosition: Millimetres,
  power: Dioptres,
): Dioptres {
  const beforeLens = AQUEOUS / (opticalLength - lensPosition) - power
  // Written this way nothing is divided by the vergence before the lens, which may be zero.
  const behindCornea = beforeLens / (1 + (beforeLens * lensPosition) / AQUEOUS)
  return refractionAtSpectacle(dioptres(behindCornea - cornealPower))
}

/**
 * Lens position that explains a refraction found after surgery, as used to optimise constants.
 *
 * - Domain: undefined at zero power, where the refraction does not depend on the position at all; near zero the answer
 *   is defined but worthless (a 1 D lens and 0.25 D of refraction error move it by several millimetres).
 * - Source: algebra on `thinLensPower`.
 *
 * @param opticalLength mm
 * @param cornealPower dioptres
 * @param power implanted power, dioptres, signed
 * @param found refraction found, dioptres at the spectacle plane
 * @returns mm behind the cornea
 */
export function lensPositionFrom(
  opticalLength: Millimetres,
  cornealPower: Dioptres,
  power: Dioptres,
  found: Dioptres,
): Outcome<Millimetres> {
  if (power === 0) {
    return noAnswer(
      'lens power',
      0,
      'D',
      'A lens of zero power says nothing about its position: the refraction does not depend on it.',
    )
  }
  const focus = AQUEOUS / (cornealPower + refractionAtCornea(found))
  const apart = opticalLength - focus
  const radicand = apart * apart + (4 * AQUEOUS * (focus - opticalLength)) / power
  if (!(radicand >= 0)) {
    return noAnswer('lens power', power, 'D', `No lens position makes ${power} D leave ${found} D in this eye.`)
  }
  return computed(mm((opticalLength + focus - Math.sqrt(radicand)) / 2))
}
