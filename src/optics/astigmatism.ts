import { type Degrees, type Dioptres, degrees, dioptres } from '../terms/units.js'

/** A spherocylinder: `cylinder` acts at right angles to `axis`. Either sign of cylinder. */
export interface Spherocylinder {
  readonly sphere: Dioptres
  readonly cylinder: Dioptres
  readonly axis: Degrees
}

/** Astigmatism as plus power at a meridian: "2.00 @ 90" is steepest at 90°. */
export interface AstigmatismAt {
  readonly magnitude: Dioptres
  readonly meridian: Degrees
}

const RADIANS = Math.PI / 180

/** An angle of a meridian brought to 0° up to, not including, 180°. */
export const meridianOf = (angle: number): Degrees => {
  const turned = angle % 180
  return degrees(turned < 0 ? turned + 180 : turned)
}

/**
 * The same refraction with the other sign of cylinder. The axis comes out above 0°, to 180°.
 *
 * @example
 * ```ts
 * transposed({ sphere: dioptres(3), cylinder: dioptres(-1), axis: degrees(180) }) // => { sphere: 2, cylinder: 1, axis: 90 }
 * ```
 * @param refraction sphere and cylinder in dioptres, axis in degrees
 */
export function transposed(refraction: Spherocylinder): Spherocylinder {
  const turned = meridianOf(refraction.axis + 90)
  return {
    sphere: dioptres(refraction.sphere + refraction.cylinder),
    cylinder: dioptres(-refraction.cylinder),
    axis: turned === 0 ? degrees(180) : turned,
  }
}

/**
 * Power vector of a refraction: mean power and two cross-cylinders.
 *
 * - Source: Thibos LN, Wheeler W, Horner D. Optom Vis Sci 1997;74:367-375.
 *
 * @example
 * ```ts
 * powerVector({ sphere: dioptres(-1), cylinder: dioptres(-2), axis: degrees(180) }) // => { mean: -2, j0: 1, j45: 0 }
 * ```
 * @param refraction sphere and cylinder in dioptres, axis in degrees
 * @returns dioptres
 */
export function powerVector(refraction: Spherocylinder): {
  readonly mean: Dioptres
  readonly j0: Dioptres
  readonly j45: Dioptres
} {
  const half = refraction.cylinder / 2
  const doubled = 2 * refraction.axis * RADIANS
  return {
    mean: dioptres(refraction.sphere + half),
    j0: dioptres(-half * Math.cos(doubled)),
    j45: dioptres(-half * Math.sin(doubled)),
  }
}

/**
 * Sum of astigmatisms as double-angle vectors, such as the cornea before surgery and what the incision induces.
 *
 * - Domain: magnitudes of either sign; a negative one counts at the meridian 90° away.
 * - Source: Holladay JT, Cravy TV, Koch DD. J Cataract Refract Surg 1992;18:429-443.
 *
 * @example
 * ```ts
 * sumOf([{ magnitude: dioptres(1.5), meridian: degrees(20) }, { magnitude: dioptres(0.4), meridian: degrees(110) }])
 * // => { magnitude: 1.1, meridian: 20 }
 * ```
 * @param parts each in dioptres at a meridian in degrees
 */
export function sumOf(parts: readonly AstigmatismAt[]): AstigmatismAt {
  let x = 0
  let y = 0
  for (const { magnitude, meridian } of parts) {
    x += magnitude * Math.cos(2 * meridian * RADIANS)
    y += magnitude * Math.sin(2 * meridian * RADIANS)
  }
  return fromDoubleAngle(x, y)
}

/** Astigmatism from its double-angle components, dioptres. */
export const fromDoubleAngle = (x: number, y: number): AstigmatismAt => ({
  magnitude: dioptres(Math.sqrt(x * x + y * y)),
  meridian: meridianOf(Math.atan2(y, x) / 2 / RADIANS),
})
