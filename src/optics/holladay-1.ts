import { computed, type Outcome } from '../terms/outcome.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { Source } from '../terms/source.js'
import { type Dioptres, dioptres, type Millimetres, mm } from '../terms/units.js'
import { surgeonFactorFromA } from './lens-constants.js'
import {
  COMPUTED_RANGE,
  coefficientsOf,
  type EyeMeasurements,
  type LensConstants,
  type LensFormula,
  misplaced,
  type OwnConstant,
  ownConstant,
  type ThinLensEye,
} from './lens-formula.js'
import { thinLensPower, thinLensRefraction } from './vergence.js'

const source: Source = {
  cite: 'Holladay JT, Prager TC, Chandler TY, Musgrove KH, Lewis JW, Ruiz RS. A three-part system for refining intraocular lens power calculations. J Cataract Refract Surg 1988;14:17-24',
  year: 1988,
  sureness: 'memory',
}

const ANGLE_WIDTH_MEAN = 12.5
const AXIAL_LENGTH_MEAN = 23.45
const ANGLE_WIDTH_CAP = 13.5
const CORNEA_THICKNESS = 0.56
const RETINA = 0.2
const RADIUS_FLOOR = 7
const KERATOMETER = 337.5
const CORNEA = 1000 / 3

/** Beyond this length the lens position no longer depends on length. */
export const HOLLADAY_1_LENGTH_OF_CAP = mm((ANGLE_WIDTH_CAP * AXIAL_LENGTH_MEAN) / ANGLE_WIDTH_MEAN)

/** Cornea to retina as Holladay 1 takes it: the measured length plus 0.2 mm. */
export const holladay1OpticalLength = (axialLength: Millimetres): Millimetres => mm(axialLength + RETINA)
/** Corneal power as Holladay 1 takes it: the keratometric radius at index 4/3. */
export const holladay1CornealPower = (keratometry: Dioptres): Dioptres => dioptres((CORNEA * keratometry) / KERATOMETER)

const angleWidth = (axialLength: Millimetres): number =>
  Math.min((ANGLE_WIDTH_MEAN * axialLength) / AXIAL_LENGTH_MEAN, ANGLE_WIDTH_CAP)

function anatomicalChamberDepth(axialLength: Millimetres, keratometry: Dioptres): number {
  // The floor holds for the chamber depth only; the optics keep the measured radius.
  const radius = Math.max(KERATOMETER / keratometry, RADIUS_FLOOR)
  const width = angleWidth(axialLength)
  return CORNEA_THICKNESS + radius - Math.sqrt(radius * radius - (width * width) / 4)
}

/**
 * Effective lens position by Holladay 1.
 *
 * - Domain: always defined (the cap on the width keeps the radicand positive). Beyond 25.326 mm it depends on the cornea alone.
 * - Source: Holladay 1988.
 *
 * @example
 * ```ts
 * holladay1LensPosition(mm(23.5), dioptres(43.5), mm(1.44992)) // => 5.189574
 * ```
 * @param axialLength mm
 * @param keratometry dioptres at index 1.3375
 * @param surgeonFactor mm
 * @returns mm behind the cornea
 */
export const holladay1LensPosition = (axialLength: Millimetres, keratometry: Dioptres, surgeonFactor: Millimetres): Millimetres =>
  mm(anatomicalChamberDepth(axialLength, keratometry) + surgeonFactor)

/**
 * Lens power by Holladay 1.
 *
 * @example
 * ```ts
 * holladay1Power(mm(30), dioptres(43), mm(1.7897), dioptres(-1)) // => 4.294615
 * ```
 * @param axialLength mm
 * @param keratometry dioptres at index 1.3375
 * @param surgeonFactor mm
 * @param target refraction wanted, dioptres at the spectacle plane
 * @returns dioptres, signed
 */
export const holladay1Power = (
  axialLength: Millimetres,
  keratometry: Dioptres,
  surgeonFactor: Millimetres,
  target: Dioptres,
): Dioptres =>
  thinLensPower(
    holladay1OpticalLength(axialLength),
    holladay1CornealPower(keratometry),
    holladay1LensPosition(axialLength, keratometry, surgeonFactor),
    target,
  )

/**
 * Refraction left by a lens, by Holladay 1; the inverse of `holladay1Power`.
 * @param axialLength mm
 * @param keratometry dioptres at index 1.3375
 * @param surgeonFactor mm
 * @param power lens power, dioptres, signed
 * @returns dioptres at the spectacle plane
 */
export const holladay1Refraction = (
  axialLength: Millimetres,
  keratometry: Dioptres,
  surgeonFactor: Millimetres,
  power: Dioptres,
): Dioptres =>
  thinLensRefraction(
    holladay1OpticalLength(axialLength),
    holladay1CornealPower(keratometry),
    holladay1LensPosition(axialLength, keratometry, surgeonFactor),
    power,
  )

const published: PublishedModel = {
  id: 'holladay-1',
  about: 'lens power',
  model: 'Holladay 1',
  population: 'not recovered from the paper',
  years: 'before 1988',
  source,
  coefficients: coefficientsOf(source, [
    ['mean width', ANGLE_WIDTH_MEAN, 'mm'],
    ['mean axial length', AXIAL_LENGTH_MEAN, 'mm'],
    ['cap on the width', ANGLE_WIDTH_CAP, 'mm'],
    ['corneal thickness', CORNEA_THICKNESS, 'mm'],
    ['retinal thickness', RETINA, 'mm'],
    ['floor of the radius', RADIUS_FLOOR, 'mm'],
    ['corneal index', 4 / 3, ''],
  ]),
}

const ON_FLOOR = `the cornea is steeper than Holladay 1 allows for: its lens position is held at a radius of ${RADIUS_FLOOR} mm`

const SURGEON_FACTOR: OwnConstant = {
  formula: 'Holladay 1',
  name: 'surgeon factor',
  domain: { ...COMPUTED_RANGE, 'surgeon factor': { low: -5, high: 8, unit: 'mm' } },
  fromA: surgeonFactorFromA,
}

function solve(eye: EyeMeasurements, constants: LensConstants): Outcome<ThinLensEye> {
  const { axialLength, keratometry } = eye
  const own = ownConstant(SURGEON_FACTOR, constants.surgeonFactor, eye, constants)
  if ('kind' in own) return own
  const { value: surgeonFactor, flags } = own
  const effectiveLensPosition = holladay1LensPosition(axialLength, keratometry, surgeonFactor)
  const opticalLength = holladay1OpticalLength(axialLength)
  const nowhere = misplaced('Holladay 1', effectiveLensPosition, opticalLength)
  if (nowhere) return nowhere

  if (axialLength > HOLLADAY_1_LENGTH_OF_CAP) {
    flags.push({
      code: 'holladay-1-width-cap',
      words: `beyond ${HOLLADAY_1_LENGTH_OF_CAP.toFixed(2)} mm the lens position of Holladay 1 no longer follows the length of the eye`,
    })
  }
  const radius = KERATOMETER / keratometry
  const onFloor = radius < RADIUS_FLOOR
  if (onFloor) flags.push({ code: 'holladay-1-radius-floor', words: ON_FLOOR })

  return computed({
    opticalLength,
    cornealPower: holladay1CornealPower(keratometry),
    effectiveLensPosition,
    working: () => ({
      inputs: [{ name: 'surgeon factor', value: surgeonFactor, unit: 'mm' }],
      steps: [
        { name: 'corneal radius', value: radius, unit: 'mm' },
        { name: 'angle-to-angle width', value: angleWidth(axialLength), unit: 'mm' },
        { name: 'anatomical chamber depth', value: anatomicalChamberDepth(axialLength, keratometry), unit: 'mm' },
      ],
    }),
    flags,
    setAside: onFloor ? ON_FLOOR : undefined,
  })
}

/** Holladay 1. Erratum: none known. */
export const holladay1: LensFormula = {
  id: 'holladay-1',
  published,
  erratum: 'none known',
  equation: 'P = 1336/(L - d) - 1336/(1336/(K + R) - d), d = 0.56 + r - sqrt(r r - w w/4) + SF',
  constantsNeeded: ['surgeonFactor'],
  solve,
}
