import { computed, type Outcome } from '../terms/outcome.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { Source } from '../terms/source.js'
import { type Dioptres, type Millimetres, mm } from '../terms/units.js'
import { personalisedAcdFromA } from './lens-constants.js'
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
  cite: 'Hoffer KJ. The Hoffer Q formula: a comparison of theoretic and regression formulas. J Cataract Refract Surg 1993;19:700-712; errata 1994;20:677 and 2007;33:2-3',
  year: 1993,
  sureness: 'memory',
}

const LENGTH_FLOOR = 18.5
const LENGTH_CAP = 31
const SHORT_TO = 23
const SHORT_TURN = 28
const LONG_TURN = 23.5
const PER_LENGTH = 0.3
const CURVE = 0.1
const OFFSET = 0.99166
const PRINCIPAL_PLANE = 0.05
const RADIANS = Math.PI / 180

const tangentOfDegrees = (angle: number): number => Math.tan(angle * RADIANS)

// Clamped for the chamber depth only: clamping the length in the optics too is 6 D wrong at 34 mm.
const clampedLength = (axialLength: Millimetres): number => Math.min(Math.max(axialLength, LENGTH_FLOOR), LENGTH_CAP)

function chamberDepth(axialLength: Millimetres, keratometry: Dioptres, personalisedAcd: Millimetres): number {
  const length = clampedLength(axialLength)
  const side = length <= SHORT_TO ? 1 : -1
  const turn = length <= SHORT_TO ? SHORT_TURN : LONG_TURN
  const fromMean = LONG_TURN - length
  const fromTurn = turn - length
  const tangent = tangentOfDegrees(keratometry)
  // Two separate squares: printed versions misplace the brackets (Zuberbuhler B, Morrell AJ. J Cataract Refract Surg 2007;33:2).
  return (
    personalisedAcd +
    PER_LENGTH * (length - LONG_TURN) +
    tangent * tangent +
    CURVE * side * (fromMean * fromMean) * tangentOfDegrees(CURVE * (fromTurn * fromTurn)) -
    OFFSET
  )
}

/**
 * Effective lens position by Hoffer Q.
 *
 * - Domain: the length that enters is held between 18.5 and 31 mm by the formula itself; jumps by 0.001 mm at 23 mm.
 * - Source: Hoffer 1993 as corrected in 1994 and 2007. All tangents are of degrees.
 *
 * @example
 * ```ts
 * hofferQLensPosition(mm(23.5), dioptres(43.5), mm(5.198805)) // => 5.157679
 * ```
 * @param axialLength mm
 * @param keratometry dioptres at index 1.3375
 * @param personalisedAcd mm
 * @returns mm behind the cornea
 */
export const hofferQLensPosition = (axialLength: Millimetres, keratometry: Dioptres, personalisedAcd: Millimetres): Millimetres =>
  mm(chamberDepth(axialLength, keratometry, personalisedAcd) + PRINCIPAL_PLANE)

/**
 * Lens power by Hoffer Q.
 *
 * @example
 * ```ts
 * hofferQPower(mm(30), dioptres(43), mm(5.548949), dioptres(-1)) // => 4.258023
 * ```
 * @param axialLength mm
 * @param keratometry dioptres at index 1.3375
 * @param personalisedAcd mm
 * @param target refraction wanted, dioptres at the spectacle plane
 * @returns dioptres, signed
 */
export const hofferQPower = (
  axialLength: Millimetres,
  keratometry: Dioptres,
  personalisedAcd: Millimetres,
  target: Dioptres,
): Dioptres => thinLensPower(axialLength, keratometry, hofferQLensPosition(axialLength, keratometry, personalisedAcd), target)

/**
 * Refraction left by a lens, by Hoffer Q; the inverse of `hofferQPower`.
 * @param axialLength mm
 * @param keratometry dioptres at index 1.3375
 * @param personalisedAcd mm
 * @param power lens power, dioptres, signed
 * @returns dioptres at the spectacle plane
 */
export const hofferQRefraction = (
  axialLength: Millimetres,
  keratometry: Dioptres,
  personalisedAcd: Millimetres,
  power: Dioptres,
): Dioptres => thinLensRefraction(axialLength, keratometry, hofferQLensPosition(axialLength, keratometry, personalisedAcd), power)

const published: PublishedModel = {
  id: 'hoffer-q',
  about: 'lens power',
  model: 'Hoffer Q',
  population: 'not recovered from the paper',
  years: 'before 1993',
  source,
  coefficients: coefficientsOf(source, [
    ['shortest length', LENGTH_FLOOR, 'mm'],
    ['longest length', LENGTH_CAP, 'mm'],
    ['short branch to', SHORT_TO, 'mm'],
    ['G of the short branch', SHORT_TURN, 'mm'],
    ['G of the long branch, and mean length', LONG_TURN, 'mm'],
    ['per mm of length', PER_LENGTH, ''],
    ['curve', CURVE, ''],
    ['offset', -OFFSET, 'mm'],
    ['principal plane', PRINCIPAL_PLANE, 'mm'],
  ]),
}

const PERSONALISED_ACD: OwnConstant = {
  formula: 'Hoffer Q',
  name: 'personalised anterior chamber depth',
  domain: { ...COMPUTED_RANGE, 'personalised anterior chamber depth': { low: 0, high: 12, unit: 'mm' } },
  fromA: personalisedAcdFromA,
}

function solve(eye: EyeMeasurements, constants: LensConstants): Outcome<ThinLensEye> {
  const { axialLength, keratometry } = eye
  const own = ownConstant(PERSONALISED_ACD, constants.personalisedAcd, eye, constants)
  if ('kind' in own) return own
  const { value: personalisedAcd, flags } = own
  const effectiveLensPosition = hofferQLensPosition(axialLength, keratometry, personalisedAcd)
  const nowhere = misplaced('Hoffer Q', effectiveLensPosition, axialLength)
  if (nowhere) return nowhere

  const length = clampedLength(axialLength)
  const clamp =
    length === axialLength
      ? undefined
      : `the chamber depth of Hoffer Q holds from ${LENGTH_FLOOR} to ${LENGTH_CAP} mm; for ${axialLength.toFixed(2)} mm it is held at ${length} mm`
  if (clamp !== undefined) flags.push({ code: 'hoffer-q-length-clamp', words: clamp })

  return computed({
    opticalLength: axialLength,
    cornealPower: keratometry,
    effectiveLensPosition,
    working: () => ({
      inputs: [{ name: 'personalised anterior chamber depth', value: personalisedAcd, unit: 'mm' }],
      steps: [
        { name: 'length in the chamber depth', value: length, unit: 'mm' },
        { name: 'chamber depth', value: chamberDepth(axialLength, keratometry, personalisedAcd), unit: 'mm' },
      ],
    }),
    flags,
    setAside: clamp,
  })
}

/** Hoffer Q, with the corrections of 1994 and 2007. */
export const hofferQ: LensFormula = {
  id: 'hoffer-q',
  published,
  erratum: 'J Cataract Refract Surg 1994;20:677 and 2007;33:2-3, texts not seen',
  equation:
    'P = 1336/(AL - d) - 1336/(1336/(K + R) - d), d = pACD + 0.3(A - 23.5) + tan K tan K + 0.1 M (23.5 - A)(23.5 - A) tan(0.1 (G - A)(G - A)) - 0.99166 + 0.05',
  constantsNeeded: ['personalisedAcd'],
  solve,
}
