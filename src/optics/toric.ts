import { computed, firstOutside, type Outcome } from '../terms/outcome.js'
import { type Degrees, type Dioptres, dioptres, type Millimetres } from '../terms/units.js'
import { type AstigmatismAt, meridianOf, sumOf } from './astigmatism.js'
import { noAnswer } from './no-answer.js'
import { AQUEOUS, thinLensPower } from './vergence.js'

/**
 * Astigmatism that an incision induces, as plus power at the meridian at right angles to it: an incision flattens its own meridian.
 *
 * - Domain: flattening 0 to 3 D. Use the centroid of a surgeon's own results, never a mean of magnitudes.
 *
 * @example
 * ```ts
 * inducedByIncision(degrees(110), dioptres(0.4)) // => { magnitude: 0.4, meridian: 20 }
 * ```
 * @param incision meridian of the incision, degrees
 * @param flattening dioptres
 */
export const inducedByIncision = (incision: Degrees, flattening: Dioptres): AstigmatismAt => ({
  magnitude: flattening,
  meridian: meridianOf(incision + 90),
})

/**
 * Corneal astigmatism after surgery: before plus induced, as vectors.
 *
 * - Source: Holladay JT, Cravy TV, Koch DD. J Cataract Refract Surg 1992;18:429-443.
 *
 * @param before dioptres at the steep meridian
 * @param incision meridian of the incision, degrees
 * @param flattening dioptres
 */
export const afterIncision = (before: AstigmatismAt, incision: Degrees, flattening: Dioptres): AstigmatismAt =>
  sumOf([before, inducedByIncision(incision, flattening)])

/**
 * Lens cylinder that corrects a corneal astigmatism, by calculating the power for the flat and for the steep meridian.
 *
 * A fixed ratio under-corrects long eyes by 5 to 10 %: the ratio grows from about 1.4 at 21 mm to 1.6 at 34 mm.
 *
 * - Domain: the lens lies along the corneal meridians; crossed cylinders need the full matrix form and are not covered.
 *   Corneal powers as the formula takes them, steep at least as strong as flat.
 * - Source: meridional analysis, Fam HB, Lim KL. J Cataract Refract Surg 2007;33:2072-2076.
 *
 * @param opticalLength mm, as the formula takes it
 * @param flat corneal power of the flat meridian, dioptres, as the formula takes it
 * @param steep the same of the steep meridian
 * @param lensPosition mm
 * @param target refraction wanted in both meridians, dioptres at the spectacle plane
 * @returns dioptres at the lens plane
 */
export function lensPlaneCylinder(
  opticalLength: Millimetres,
  flat: Dioptres,
  steep: Dioptres,
  lensPosition: Millimetres,
  target: Dioptres,
): Outcome<Dioptres> {
  const outside = firstOutside(
    { 'flat corneal power': flat, 'corneal astigmatism': steep - flat, 'lens position': lensPosition },
    {
      'flat corneal power': { low: 30, high: 60, unit: 'D' },
      'corneal astigmatism': { low: 0, high: 12, unit: 'D' },
      'lens position': { low: 0, high: 12, unit: 'mm' },
    },
  )
  if (outside) return outside
  return computed(
    dioptres(
      thinLensPower(opticalLength, flat, lensPosition, target) - thinLensPower(opticalLength, steep, lensPosition, target),
    ),
  )
}

/**
 * Ratio of lens cylinder to corneal cylinder for a vanishing cylinder; for reading, not for calculating.
 *
 * - Source: algebra on the vergence equation.
 *
 * @param cornealPower dioptres, as the formula takes it, with the target refraction at the cornea added
 * @param lensPosition mm
 */
export function cylinderRatio(cornealPower: Dioptres, lensPosition: Millimetres): number {
  const shrunk = 1 - (lensPosition * cornealPower) / AQUEOUS
  return 1 / (shrunk * shrunk)
}

/**
 * What is left of a corneal astigmatism with a toric lens in place.
 *
 * - Domain: powers at the corneal plane.
 * - Source: vector difference; Felipe A et al. J Cataract Refract Surg 2011: ten degrees of rotation leave one third.
 *
 * @example
 * ```ts
 * residualWith({ magnitude: dioptres(2), meridian: degrees(90) }, dioptres(2), degrees(100))
 * // => { magnitude: 0.694593, meridian: 50 }
 * ```
 * @param cornea total corneal astigmatism, dioptres at the steep meridian
 * @param corrects cylinder of the lens at the corneal plane, dioptres
 * @param meridian the corneal meridian that the lens is turned to correct, degrees
 */
export const residualWith = (cornea: AstigmatismAt, corrects: Dioptres, meridian: Degrees): AstigmatismAt =>
  sumOf([cornea, { magnitude: dioptres(-corrects), meridian }])

/**
 * Share of the astigmatism that a rotated lens leaves, when its power matches.
 *
 * - Domain: rotation 0 to 90 degrees. At 30 degrees nothing is gained; beyond, the eye is worse than without.
 * - Source: geometry of double angles.
 *
 * @example
 * ```ts
 * shareLeftByRotation(degrees(10))
 * // => { kind: 'computed', value: 0.347296 }
 * ```
 * @param rotation degrees off the intended meridian, either way
 */
export function shareLeftByRotation(rotation: Degrees): Outcome<number> {
  const turned = Math.abs(rotation)
  if (!(turned <= 90)) return noAnswer('rotation', rotation, '°', `rotation ${rotation}° is outside 0 to 90°`, 0, 90)
  return computed(2 * Math.sin((turned * Math.PI) / 180))
}
