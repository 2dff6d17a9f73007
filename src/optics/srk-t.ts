import { computed, firstOutside, type Outcome, type OutsideDomain } from '../terms/outcome.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { Source } from '../terms/source.js'
import { type Dioptres, dioptres, type Millimetres, mm } from '../terms/units.js'
import { acdConstantFromA } from './lens-constants.js'
import {
  A_CONSTANT_RANGE,
  COMPUTED_RANGE,
  coefficientsOf,
  type EyeMeasurements,
  type Flag,
  type LensConstants,
  type LensFormula,
  lacking,
  misplaced,
  type ThinLensEye,
} from './lens-formula.js'
import { noAnswer } from './no-answer.js'
import { thinLensPower, thinLensRefraction } from './vergence.js'

const source: Source = {
  cite: 'Retzlaff JA, Sanders DR, Kraff MC. Development of the SRK/T intraocular lens implant power calculation formula. J Cataract Refract Surg 1990;16:333-340; erratum 1990;16:528',
  year: 1990,
  sureness: 'memory',
}

const LONG_FROM = 24.2
const LONG_OFFSET = -3.446
// Printed elsewhere as 1.715; 1.716 is the partner of -3.446 that keeps the corrected length continuous at 24.2 mm. A letter prints
// where the root vanishes under 45 D, 33.12 mm (Aramberri J. J Cataract Refract Surg 2005;31:255-256): so with 1.716, 33.36 with 1.715.
const LONG_LINEAR = 1.716
const LONG_SQUARE = -0.0237
// Printed elsewhere as -5.40948.
const WIDTH_OFFSET = -5.41
const WIDTH_PER_LENGTH = 0.58412
const WIDTH_PER_POWER = 0.098
const POSITION_OFFSET = -3.336
const RETINA_OFFSET = 0.65696
const RETINA_PER_LENGTH = -0.02029
const CORNEAL_INDEX = 1.333
const CORNEA = 1000 * (CORNEAL_INDEX - 1)
const KERATOMETER = 337.5

/** Where the corrected length stops growing with the measured one. */
const CORRECTED_LENGTH_PEAK = mm(LONG_LINEAR / (-2 * LONG_SQUARE))

/**
 * Change of corneal height with computed corneal width above which the position is not to be relied on, mm per mm.
 * Our own criterion: about three times the average eye's 0.7. The slope is infinite where the root vanishes.
 */
const STEEPEST_HEIGHT = 2

/** Cornea to retina as SRK/T takes it: the measured length plus a retinal thickness that shrinks with length. Also used by T2. */
export const srkTOpticalLength = (axialLength: Millimetres): Millimetres =>
  mm(axialLength + RETINA_OFFSET + RETINA_PER_LENGTH * axialLength)

/** Corneal power as SRK/T takes it: the keratometric radius at index 1.333. Also used by T2. */
export const srkTCornealPower = (keratometry: Dioptres): Dioptres => dioptres((CORNEA * keratometry) / KERATOMETER)

/** Lens position from a corneal height and an A-constant. Also used by T2. */
export const srkTPositionFrom = (cornealHeight: number, aConstant: number): Millimetres =>
  mm(cornealHeight + acdConstantFromA(aConstant) + POSITION_OFFSET)

const correctedLength = (axialLength: Millimetres): number =>
  axialLength <= LONG_FROM ? axialLength : LONG_OFFSET + LONG_LINEAR * axialLength + LONG_SQUARE * axialLength * axialLength

const cornealWidth = (axialLength: Millimetres, keratometry: Dioptres): number =>
  WIDTH_OFFSET + WIDTH_PER_LENGTH * correctedLength(axialLength) + WIDTH_PER_POWER * keratometry

/**
 * Effective lens position by SRK/T.
 *
 * - Domain: NaN where the radicand of the corneal height is negative (long eye under a steep cornea: Haigis W. J Cataract
 *   Refract Surg 1993;19:442-446). The zero that is often put there instead gives an untrustworthy position and is not used.
 * - Source: Retzlaff 1990.
 *
 * @example
 * ```ts
 * srkTLensPosition(mm(23.5), dioptres(43.5), 118.4) // => 5.094167
 * ```
 * @param axialLength mm
 * @param keratometry dioptres at index 1.3375
 * @param aConstant A-constant
 * @returns mm behind the cornea
 */
export function srkTLensPosition(axialLength: Millimetres, keratometry: Dioptres, aConstant: number): Millimetres {
  const radius = KERATOMETER / keratometry
  const width = cornealWidth(axialLength, keratometry)
  return srkTPositionFrom(radius - Math.sqrt(radius * radius - (width * width) / 4), aConstant)
}

/**
 * Lens power by SRK/T.
 *
 * @example
 * ```ts
 * srkTPower(mm(30), dioptres(43), 119, dioptres(-1)) // => 5.026026
 * ```
 * @param axialLength mm
 * @param keratometry dioptres at index 1.3375
 * @param aConstant A-constant
 * @param target refraction wanted, dioptres at the spectacle plane
 * @returns dioptres, signed; NaN where `srkTLensPosition` is
 */
export const srkTPower = (axialLength: Millimetres, keratometry: Dioptres, aConstant: number, target: Dioptres): Dioptres =>
  thinLensPower(
    srkTOpticalLength(axialLength),
    srkTCornealPower(keratometry),
    srkTLensPosition(axialLength, keratometry, aConstant),
    target,
  )

/**
 * Refraction left by a lens, by SRK/T; the inverse of `srkTPower`.
 * @param axialLength mm
 * @param keratometry dioptres at index 1.3375
 * @param aConstant A-constant
 * @param power lens power, dioptres, signed
 * @returns dioptres at the spectacle plane
 */
export const srkTRefraction = (axialLength: Millimetres, keratometry: Dioptres, aConstant: number, power: Dioptres): Dioptres =>
  thinLensRefraction(
    srkTOpticalLength(axialLength),
    srkTCornealPower(keratometry),
    srkTLensPosition(axialLength, keratometry, aConstant),
    power,
  )

const published: PublishedModel = {
  id: 'srk-t',
  about: 'lens power',
  model: 'SRK/T',
  population: '1,677 eyes with posterior-chamber lenses',
  years: 'before 1990',
  source,
  coefficients: coefficientsOf(source, [
    ['length correction from', LONG_FROM, 'mm'],
    ['length correction, offset', LONG_OFFSET, 'mm'],
    ['length correction, per mm', LONG_LINEAR, ''],
    ['length correction, per mm squared', LONG_SQUARE, '1/mm'],
    ['corneal width, offset', WIDTH_OFFSET, 'mm'],
    ['corneal width, per mm of length', WIDTH_PER_LENGTH, ''],
    ['corneal width, per dioptre', WIDTH_PER_POWER, 'mm/D'],
    ['lens position, offset', POSITION_OFFSET, 'mm'],
    ['retinal thickness, offset', RETINA_OFFSET, 'mm'],
    ['retinal thickness, per mm of length', RETINA_PER_LENGTH, ''],
    ['corneal index', CORNEAL_INDEX, ''],
  ]),
}

/** A lens position for one eye, with how it came about. */
export interface Placed extends Pick<ThinLensEye, 'flags' | 'setAside'> {
  readonly effectiveLensPosition: Millimetres
  readonly steps: () => ReturnType<ThinLensEye['working']>['steps']
}

const DOMAIN = { ...COMPUTED_RANGE, 'A-constant': A_CONSTANT_RANGE }

/** An eye as SRK/T sees it around a lens position of its own; T2 differs in that position alone. */
export function srkTEye(
  formula: string,
  { axialLength, keratometry }: EyeMeasurements,
  { aConstant }: LensConstants,
  place: (axialLength: Millimetres, keratometry: Dioptres, aConstant: number) => Placed | OutsideDomain,
): Outcome<ThinLensEye> {
  if (aConstant === undefined) return lacking(formula, 'A-constant', '')
  const outside = firstOutside({ 'axial length': axialLength, keratometry, 'A-constant': aConstant }, DOMAIN)
  if (outside) return outside
  const placed = place(axialLength, keratometry, aConstant)
  if ('kind' in placed) return placed
  const { effectiveLensPosition, steps, flags, setAside } = placed
  const opticalLength = srkTOpticalLength(axialLength)
  return (
    misplaced(formula, effectiveLensPosition, opticalLength) ??
    computed({
      opticalLength,
      cornealPower: srkTCornealPower(keratometry),
      effectiveLensPosition,
      working: () => ({ inputs: [{ name: 'A-constant', value: aConstant }], steps: steps() }),
      flags,
      setAside,
    })
  )
}

function place(axialLength: Millimetres, keratometry: Dioptres, aConstant: number): Placed | OutsideDomain {
  const radius = KERATOMETER / keratometry
  const width = cornealWidth(axialLength, keratometry)
  const radicand = radius * radius - (width * width) / 4
  if (radicand < 0) {
    return noAnswer(
      'computed corneal width',
      width,
      'mm',
      `SRK/T is undefined here: for ${axialLength.toFixed(2)} mm and ${keratometry.toFixed(2)} D it computes a cornea ${width.toFixed(1)} mm wide, wider than a ball of its radius (${(2 * radius).toFixed(1)} mm).`,
      0,
      2 * radius,
    )
  }
  const root = Math.sqrt(radicand)
  const effectiveLensPosition = srkTPositionFrom(radius - root, aConstant)
  const flags: Flag[] = []
  if (width > 4 * STEEPEST_HEIGHT * root) {
    flags.push({
      code: 'srk-t-near-its-limit',
      words: `close to where SRK/T becomes undefined for a long eye under a steep cornea: its lens position (${effectiveLensPosition.toFixed(1)} mm) is unreliable`,
    })
  }
  if (axialLength > CORRECTED_LENGTH_PEAK) {
    flags.push({
      code: 'srk-t-length-past-peak',
      words: `beyond ${CORRECTED_LENGTH_PEAK.toFixed(1)} mm the length that SRK/T corrects falls as the eye grows`,
    })
  }
  return {
    effectiveLensPosition,
    steps: () => [
      { name: 'corneal radius', value: radius, unit: 'mm' },
      { name: 'corrected axial length', value: correctedLength(axialLength), unit: 'mm' },
      { name: 'computed corneal width', value: width, unit: 'mm' },
      { name: 'corneal height', value: radius - root, unit: 'mm' },
    ],
    flags,
    setAside: flags[0]?.words,
  }
}

/**
 * SRK/T. Erratum: J Cataract Refract Surg 1990;16:528, whose text has not been seen.
 * Population: 1,677 eyes with posterior-chamber lenses, before 1990, ultrasound lengths.
 */
export const srkT: LensFormula = {
  id: 'srk-t',
  published,
  erratum: 'J Cataract Refract Surg 1990;16:528, text not seen',
  equation: 'P = 1336/(L - d) - 1336/(1336/(K + R) - d), d = H + ACD constant - 3.336, H = r - sqrt(r r - W W/4)',
  constantsNeeded: ['aConstant'],
  solve: (eye, constants) => srkTEye('SRK/T', eye, constants, place),
}
