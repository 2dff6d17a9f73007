import { computed, firstOutside, type Outcome } from '../terms/outcome.js'
import { type Dioptres, dioptres, type Millimetres, mm } from '../terms/units.js'
import { KERATOMETRIC_INDEX, radiusFromKeratometry } from './keratometry.js'
import { COMPUTED_RANGE } from './lens-formula.js'
import { noAnswer } from './no-answer.js'
import { paraxialRefraction, type Surface } from './paraxial.js'
import { realRayRefraction } from './real-ray.js'
import { refractionAtCornea } from './vergence.js'

/**
 * What anatomy allows, so that a formula's answer can be held against optics that owe nothing to regressions. The ranges are
 * this project's, wide on purpose: posterior to anterior corneal radius between those of Le Grand (0.833) and Olsen (0.883)
 * and a little beyond, a lens whose front lies from just behind the iris to a deep bag, and a retina at the measured length or
 * behind it by a retinal thickness.
 */
const POSTERIOR_TO_ANTERIOR = [0.82, 0.89] as const
const LENS_FRONT = [3.5, 6.5] as const
const BEHIND_MEASURED = [0, 0.3] as const
const CORNEA_THICKNESS = 0.55
const LENS_THICKNESS = 0.8
const CORNEA_INDEX = 1.376
const AQUEOUS_INDEX = 1.336
const LENS_INDEX = 1.46
/** Half the usual step between lenses, allowed on both sides. */
export const ALLOWANCE = 0.5

const BOUNDS_DOMAIN = { ...COMPUTED_RANGE, target: { low: -12, high: 6, unit: 'D' } }

export interface PowerBounds {
  readonly low: Dioptres
  readonly high: Dioptres
}

/** Equal radii of a lens of this power in water, the thickness taken into account. Infinite at zero power. */
function equalRadius(power: number): number {
  // F = 2S - (t/n) S S with S = (n' - n)/r, solved for the weaker root.
  const reduced = LENS_THICKNESS / LENS_INDEX / 1000
  const surface = power / (1 + Math.sqrt(1 - reduced * power))
  return (1000 * (LENS_INDEX - AQUEOUS_INDEX)) / surface
}

/**
 * A pseudophakic eye of real surfaces: a two-surface cornea, a lens of equal radii, and a retina.
 *
 * - Domain: the lens lies inside the eye.
 * - Source: corneal and aqueous indices of the schematic eyes (1.376, 1.336); the lens of equal radii is this project's choice.
 *
 * @param eye lengths in mm, corneal power at index 1.3375 and lens power in dioptres
 * @returns surfaces from the front of the cornea to the back of the lens
 */
export function pseudophakicEye(eye: {
  readonly length: Millimetres
  readonly keratometry: Dioptres
  readonly posteriorToAnterior: number
  readonly lensFront: Millimetres
  readonly lensPower: Dioptres
}): readonly Surface[] {
  const front = radiusFromKeratometry(eye.keratometry, KERATOMETRIC_INDEX)
  const lens = equalRadius(eye.lensPower)
  return [
    { radius: front, thickness: mm(CORNEA_THICKNESS), index: CORNEA_INDEX },
    {
      radius: mm(front * eye.posteriorToAnterior),
      thickness: mm(eye.lensFront - CORNEA_THICKNESS),
      index: AQUEOUS_INDEX,
    },
    { radius: mm(lens), thickness: mm(LENS_THICKNESS), index: LENS_INDEX },
    { radius: mm(-lens), thickness: mm(eye.length - eye.lensFront - LENS_THICKNESS), index: AQUEOUS_INDEX },
  ]
}

const behind = (vergence: number, thickness: number, index: number): number =>
  vergence / (1 - ((thickness / 1000) * vergence) / index)

/** Vergence behind the cornea in light that the target refraction makes sharp. */
function behindCornea(keratometry: Dioptres, posteriorToAnterior: number, target: Dioptres): number {
  const front = radiusFromKeratometry(keratometry, KERATOMETRIC_INDEX)
  const inCornea = refractionAtCornea(target) + (1000 * (CORNEA_INDEX - 1)) / front
  const back = (1000 * (AQUEOUS_INDEX - CORNEA_INDEX)) / (front * posteriorToAnterior)
  return behind(inCornea, CORNEA_THICKNESS, CORNEA_INDEX) + back
}

/**
 * Lens power between a vergence that arrives and one that must leave: its equal surfaces follow from a quadratic, solved for
 * the weaker root.
 */
function powerBetween(arrives: number, leaves: number): number {
  const reduced = LENS_THICKNESS / LENS_INDEX / 1000
  const both = arrives + leaves
  const surface = (2 * both) / (2 + reduced * both + Math.sqrt(4 + reduced * reduced * both * both)) - arrives
  return 2 * surface - reduced * surface * surface
}

/**
 * Weakest and strongest lens that could leave a target in an eye of this length and cornea, over the anatomy that is possible.
 *
 * - Domain: axial length 15 to 40 mm, keratometry 30 to 60 D of a cornea never operated on, target -12 to +6 D.
 * - Source: paraxial trace through real surfaces; the anatomical ranges are this project's.
 *
 * @param axialLength mm, as the formula used it
 * @param keratometry dioptres at index 1.3375
 * @param target dioptres at the spectacle plane
 * @returns lens powers in dioptres, signed
 */
export function powerBounds(axialLength: Millimetres, keratometry: Dioptres, target: Dioptres): Outcome<PowerBounds> {
  const outside = firstOutside({ 'axial length': axialLength, keratometry, target }, BOUNDS_DOMAIN)
  if (outside) return outside
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (const posteriorToAnterior of POSTERIOR_TO_ANTERIOR) {
    const fromCornea = behindCornea(keratometry, posteriorToAnterior, target)
    for (const lensFront of LENS_FRONT) {
      const arrives = behind(fromCornea, lensFront - CORNEA_THICKNESS, AQUEOUS_INDEX)
      for (const past of BEHIND_MEASURED) {
        const leaves = (1000 * AQUEOUS_INDEX) / (axialLength + past - lensFront - LENS_THICKNESS)
        const power = powerBetween(arrives, leaves)
        low = Math.min(low, power)
        high = Math.max(high, power)
      }
    }
  }
  return computed({ low: dioptres(low), high: dioptres(high) })
}

/**
 * Whether a lens power can leave the target in this eye by optics alone; a warning when a formula's answer cannot.
 *
 * - Domain and source: as `powerBounds`; half a dioptre is allowed on either side.
 *
 * @example
 * ```ts
 * isOpticallyPossible(mm(31), dioptres(43), dioptres(-1), dioptres(12))
 * // => { kind: 'computed', value: false }
 * ```
 * @param axialLength mm, as the formula used it
 * @param keratometry dioptres at index 1.3375
 * @param target dioptres at the spectacle plane
 * @param power the formula's answer, dioptres, signed
 */
export function isOpticallyPossible(
  axialLength: Millimetres,
  keratometry: Dioptres,
  target: Dioptres,
  power: Dioptres,
): Outcome<boolean> {
  const bounds = powerBounds(axialLength, keratometry, target)
  if (bounds.kind !== 'computed') return bounds
  return computed(power >= bounds.value.low - ALLOWANCE && power <= bounds.value.high + ALLOWANCE)
}

/**
 * How much more myopic than at its centre an eye with spherical surfaces is at one zone of the pupil, traced exactly.
 *
 * - Domain: zone above 0 to 4 mm from the axis.
 *
 * @param eye surfaces from the front of the cornea to the back of the lens
 * @param zone mm from the axis
 * @returns dioptres at the spectacle plane; negative is more myopic
 */
export function zoneError(eye: readonly Surface[], zone: Millimetres): Outcome<Dioptres> {
  if (!(zone > 0 && zone <= 4)) return noAnswer('zone', zone, 'mm', `zone ${zone} mm is outside 0 to 4 mm`, 0, 4)
  const real = realRayRefraction(eye, zone)
  if (real.kind !== 'computed') return real
  return computed(dioptres(real.value.atSpectacle - paraxialRefraction(eye).atSpectacle))
}
