import { computed, firstOutside, type Outcome } from '../terms/outcome.js'
import { type Dioptres, dioptres, type Millimetres } from '../terms/units.js'
import { AQUEOUS, refractionAtCornea, VERTEX_DISTANCE } from './vergence.js'

/**
 * Power of a lens to be added to an eye, or put in one that has none, from its refraction alone.
 *
 * No axial length enters, so that the error of the axial length behind a refractive surprise cannot repeat itself.
 *
 * - Domain: keratometry 30 to 60 D, refractions -35 to +25 D, position 1 to 9 mm.
 * - Source: Holladay JT. Refractive power calculations for intraocular lenses in the phakic eye. Am J Ophthalmol
 *   1993;116:63-66. Erratum: none known.
 *
 * @example
 * ```ts
 * secondaryPower({ keratometry: dioptres(43), refraction: dioptres(5), wanted: dioptres(0), lensPosition: mm(4.5) })
 * // => { kind: 'computed', value: 7.429132 }
 * ```
 * @param eye keratometry in dioptres, refraction before and wanted in dioptres at the spectacle plane, position of the added lens in mm
 * @param vertexDistance mm
 * @returns dioptres, signed
 */
export function secondaryPower(
  eye: {
    readonly keratometry: Dioptres
    readonly refraction: Dioptres
    readonly wanted: Dioptres
    readonly lensPosition: Millimetres
  },
  vertexDistance: Millimetres = VERTEX_DISTANCE,
): Outcome<Dioptres> {
  const outside = firstOutside(
    { keratometry: eye.keratometry, refraction: eye.refraction, wanted: eye.wanted, 'lens position': eye.lensPosition },
    {
      keratometry: { low: 30, high: 60, unit: 'D' },
      refraction: { low: -35, high: 25, unit: 'D' },
      wanted: { low: -35, high: 25, unit: 'D' },
      'lens position': { low: 1, high: 9, unit: 'mm' },
    },
  )
  if (outside) return outside
  const atLens = (refraction: Dioptres): number =>
    AQUEOUS / (AQUEOUS / (eye.keratometry + refractionAtCornea(refraction, vertexDistance)) - eye.lensPosition)
  return computed(dioptres(atLens(eye.refraction) - atLens(eye.wanted)))
}

/**
 * Power to exchange an implanted lens for, from the refraction that it left.
 *
 * - Domain and source: as `secondaryPower`, the new lens standing where the old one stood.
 *
 * @param implanted power of the lens in the eye, dioptres, signed
 * @param eye as for `secondaryPower`, with the position of the implanted lens
 * @param vertexDistance mm
 * @returns dioptres, signed
 */
export function exchangePower(
  implanted: Dioptres,
  eye: Parameters<typeof secondaryPower>[0],
  vertexDistance: Millimetres = VERTEX_DISTANCE,
): Outcome<Dioptres> {
  const added = secondaryPower(eye, vertexDistance)
  return added.kind === 'computed' ? computed(dioptres(implanted + added.value)) : added
}
