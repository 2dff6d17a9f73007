import { type Dioptres, type Millimetres, mm } from '../terms/units.js'
import { AQUEOUS, VERTEX_DISTANCE } from './vergence.js'

/** Entrance pupil behind the cornea, added to the vertex distance; about 3 mm, by convention. */
const PUPIL_BEHIND_CORNEA = 3

/** A spectacle lens of some thickness; left out, it is taken as thin. */
export interface SpectacleForm {
  readonly thickness: Millimetres
  readonly index: number
  readonly frontPower: Dioptres
}

/**
 * Size of the retinal image with a spectacle lens against that without it.
 *
 * - Domain: vertex powers well below 66 D.
 * - Source: Fannin and Grosvenor, Clinical Optics: shape factor times power factor.
 *
 * @example
 * ```ts
 * spectacleMagnification(dioptres(-20)) // => 0.769231
 * ```
 * @param vertexPower back vertex power, dioptres
 * @param vertexDistance mm from spectacle lens to cornea
 * @param form thickness and front surface, where they matter
 */
export function spectacleMagnification(
  vertexPower: Dioptres,
  vertexDistance: Millimetres = VERTEX_DISTANCE,
  form?: SpectacleForm,
): number {
  const shape = form === undefined ? 1 : 1 / (1 - (form.thickness / 1000 / form.index) * form.frontPower)
  return shape / (1 - ((vertexDistance + PUPIL_BEHIND_CORNEA) / 1000) * vertexPower)
}

/** A pseudophakic eye with the spectacles that make it sharp. */
export interface SharpEye {
  /** Corneal power as the formula takes it, dioptres. */
  readonly cornealPower: Dioptres
  readonly effectiveLensPosition: Millimetres
  readonly lensPower: Dioptres
  /** Spectacle correction, dioptres; the refraction of the eye. */
  readonly spectacles: Dioptres
}

/**
 * Length of the retinal image of a distant object one degree across, in an eye that its spectacles make sharp.
 *
 * - Domain: thin spectacles, cornea and lens. Optical size only: what a stretched retina makes of it is not in the optics.
 * - Source: product of the vergences before and behind each surface; the scheme of Langenbucher A et al. for the Haigis and
 *   Hoffer Q eyes ("Simple method to estimate object to image magnification and aniseikonia following cataract surgery").
 *
 * @param eye cornea, lens and spectacles
 * @param vertexDistance mm from spectacle lens to cornea
 * @returns mm
 */
export function retinalImagePerDegree(eye: SharpEye, vertexDistance: Millimetres = VERTEX_DISTANCE): Millimetres {
  const spectacle = 1 - 0.001 * vertexDistance * eye.spectacles
  const behindCornea = eye.cornealPower + eye.spectacles / spectacle
  const shrunk = 1 - (eye.effectiveLensPosition * behindCornea) / AQUEOUS
  const behindLens = behindCornea / shrunk + eye.lensPower
  const power = spectacle * shrunk * behindLens
  return mm((1000 * Math.tan(Math.PI / 180)) / power)
}

/**
 * How much larger the first image is than the second, percent.
 *
 * Symptoms begin at about 3 to 5 %, by common teaching. In axial myopia the optical figure does not predict what is seen.
 *
 * @example
 * ```ts
 * aniseikonia(mm(0.276999), mm(0.286296)) // => -3.247338
 * ```
 * @param image mm per degree
 * @param other mm per degree, the eye compared with
 */
export const aniseikonia = (image: Millimetres, other: Millimetres): number => 100 * (image / other - 1)
