import { type Dioptres, dioptres, type Millimetres, mm } from '../terms/units.js'

/** The index most keratometers convert by; 7.5 mm then reads 45 D. */
export const KERATOMETRIC_INDEX = 1.3375

/**
 * Corneal power from the anterior radius.
 *
 * - Domain: positive radius.
 * - Source: single refracting surface; index 1.3375 by convention of the makers of keratometers.
 *
 * @example
 * ```ts
 * keratometryFromRadius(mm(7.5)) // => 45
 * ```
 * @param radius anterior corneal radius, mm
 * @param index keratometric index
 * @returns dioptres at that index
 */
export const keratometryFromRadius = (radius: Millimetres, index: number = KERATOMETRIC_INDEX): Dioptres =>
  dioptres((1000 * (index - 1)) / radius)

/**
 * Anterior corneal radius from a keratometer reading; the inverse of `keratometryFromRadius`.
 *
 * @example
 * ```ts
 * radiusFromKeratometry(dioptres(45)) // => 7.5
 * ```
 * @param keratometry dioptres at the index given
 * @param index keratometric index of the reading
 * @returns mm
 */
export const radiusFromKeratometry = (keratometry: Dioptres, index: number = KERATOMETRIC_INDEX): Millimetres =>
  mm((1000 * (index - 1)) / keratometry)

/**
 * A reading taken at another index, at 1.3375.
 *
 * @example
 * ```ts
 * atStandardIndex(dioptres(44.266667), 1.332) // => 45
 * ```
 * @param keratometry dioptres at the index given
 * @param index keratometric index of the reading
 * @returns dioptres at 1.3375
 */
export const atStandardIndex = (keratometry: Dioptres, index: number): Dioptres =>
  keratometryFromRadius(radiusFromKeratometry(keratometry, index))
