import { type Millimetres, mm } from '../terms/units.js'

const GROUP_INDEX = 1.3549
const OFFSET = 1.3033
const SLOPE = 0.9571

/**
 * Axial length on the immersion ultrasound scale from the optical path that interferometry measures.
 *
 * Why "optical" lengths of the group-index kind are what they are: one index for the whole eye, and a line fitted to ultrasound.
 *
 * - Domain: optical paths of human eyes, about 25 to 55 mm; fitted to few very long eyes.
 * - Source: Haigis W et al. Graefes Arch Clin Exp Ophthalmol 2000;238:765-773, as restated by T. Olsen, IOL power calculation
 *   in long and short eyes (2022).
 *
 * @example
 * ```ts
 * axialLengthFromOpticalPath(mm(40.669)) // => 29.999935
 * ```
 * @param opticalPath mm
 * @returns mm
 */
export const axialLengthFromOpticalPath = (opticalPath: Millimetres): Millimetres =>
  mm((opticalPath / GROUP_INDEX - OFFSET) / SLOPE)
