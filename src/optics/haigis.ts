import { computed, firstOutside, type Outcome } from '../terms/outcome.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { Source } from '../terms/source.js'
import { type Dioptres, dioptres, type Millimetres, mm } from '../terms/units.js'
import { haigisStartFromA } from './lens-constants.js'
import {
  COMPUTED_RANGE,
  coefficientsOf,
  type EyeMeasurements,
  type Flag,
  type HaigisConstants,
  type LensConstants,
  type LensFormula,
  lacking,
  misplaced,
  type ThinLensEye,
} from './lens-formula.js'
import { thinLensPower, thinLensRefraction } from './vergence.js'

const source: Source = {
  cite: 'Haigis W, Lege B, Miller N, Schneider B. Comparison of immersion ultrasound biometry and partial coherence interferometry for intraocular lens calculation according to Haigis. Graefes Arch Clin Exp Ophthalmol 2000;238:765-773',
  year: 2000,
  sureness: 'memory',
}

const CORNEAL_INDEX = 1.3315
const CORNEA = 1000 * (CORNEAL_INDEX - 1)
const KERATOMETER = 337.5

/** Corneal power as Haigis takes it: the keratometric radius at index 1.3315. */
export const haigisCornealPower = (keratometry: Dioptres): Dioptres => dioptres((CORNEA * keratometry) / KERATOMETER)

/**
 * Effective lens position by Haigis.
 *
 * - Domain: linear, always defined. The depth is from the corneal epithelium to the lens; one measured from the
 *   endothelium needs the corneal thickness added. A dense lens or an iridotomy makes the depth atypical.
 * - Source: Haigis 2000; Haigis W, in Shammas HJ (ed), 2004.
 *
 * @example
 * ```ts
 * haigisLensPosition(mm(23.5), mm(3.1), { a0: mm(1.526928), a1: 0.4, a2: 0.1 }) // => 5.116928
 * ```
 * @param axialLength mm
 * @param anteriorChamberDepth mm, from the epithelium, before surgery
 * @param constants a0 in mm, a1 and a2 without unit
 * @returns mm behind the cornea
 */
export const haigisLensPosition = (
  axialLength: Millimetres,
  anteriorChamberDepth: Millimetres,
  constants: HaigisConstants,
): Millimetres => mm(constants.a0 + constants.a1 * anteriorChamberDepth + constants.a2 * axialLength)

/**
 * Lens power by Haigis.
 *
 * @example
 * ```ts
 * haigisPower(mm(30), dioptres(43), mm(3.6), { a0: mm(1.90173), a1: 0.4, a2: 0.1 }, dioptres(-1)) // => 5.181167
 * ```
 * @param axialLength mm
 * @param keratometry dioptres at index 1.3375
 * @param anteriorChamberDepth mm, from the epithelium
 * @param constants a0 in mm, a1 and a2 without unit
 * @param target refraction wanted, dioptres at the spectacle plane
 * @returns dioptres, signed
 */
export const haigisPower = (
  axialLength: Millimetres,
  keratometry: Dioptres,
  anteriorChamberDepth: Millimetres,
  constants: HaigisConstants,
  target: Dioptres,
): Dioptres =>
  thinLensPower(
    axialLength,
    haigisCornealPower(keratometry),
    haigisLensPosition(axialLength, anteriorChamberDepth, constants),
    target,
  )

/**
 * Refraction left by a lens, by Haigis; the inverse of `haigisPower`.
 * @param axialLength mm
 * @param keratometry dioptres at index 1.3375
 * @param anteriorChamberDepth mm, from the epithelium
 * @param constants a0 in mm, a1 and a2 without unit
 * @param power lens power, dioptres, signed
 * @returns dioptres at the spectacle plane
 */
export const haigisRefraction = (
  axialLength: Millimetres,
  keratometry: Dioptres,
  anteriorChamberDepth: Millimetres,
  constants: HaigisConstants,
  power: Dioptres,
): Dioptres =>
  thinLensRefraction(
    axialLength,
    haigisCornealPower(keratometry),
    haigisLensPosition(axialLength, anteriorChamberDepth, constants),
    power,
  )

const published: PublishedModel = {
  id: 'haigis',
  about: 'lens power',
  model: 'Haigis',
  population: 'not recovered from the paper',
  years: 'before 2000',
  source,
  coefficients: coefficientsOf(source, [['corneal index', CORNEAL_INDEX, '']]),
}

const DOMAIN = { ...COMPUTED_RANGE, 'anterior chamber depth': { low: 0.5, high: 7, unit: 'mm' } }

function solve(eye: EyeMeasurements, constants: LensConstants): Outcome<ThinLensEye> {
  const { axialLength, keratometry, anteriorChamberDepth } = eye
  const own = constants.haigis
  const used = own ?? (constants.aConstant === undefined ? undefined : haigisStartFromA(constants.aConstant))
  if (used === undefined) return lacking('Haigis', 'constants a0, a1 and a2', 'mm')
  if (anteriorChamberDepth === undefined) return lacking('Haigis', 'anterior chamber depth', 'mm')
  const outside = firstOutside(
    { 'axial length': axialLength, keratometry, 'anterior chamber depth': anteriorChamberDepth },
    DOMAIN,
  )
  if (outside) return outside

  const effectiveLensPosition = haigisLensPosition(axialLength, anteriorChamberDepth, used)
  const nowhere = misplaced('Haigis', effectiveLensPosition, axialLength)
  if (nowhere) return nowhere

  const notOptimised =
    'Haigis without its own constants for this lens: with a0 taken from the A-constant it asks for about 1 D more than the other formulas'
  const flags: Flag[] = own === undefined ? [{ code: 'haigis-not-optimised', words: notOptimised }] : []
  return computed({
    opticalLength: axialLength,
    cornealPower: haigisCornealPower(keratometry),
    effectiveLensPosition,
    working: () => ({
      inputs: [
        { name: 'anterior chamber depth', value: anteriorChamberDepth, unit: 'mm' },
        { name: 'a0', value: used.a0, unit: 'mm' },
        { name: 'a1', value: used.a1 },
        { name: 'a2', value: used.a2 },
      ],
      steps: [],
    }),
    flags,
    setAside: own === undefined ? notOptimised : undefined,
  })
}

/** Haigis. Needs three constants of its own for the lens. Erratum: none known. */
export const haigis: LensFormula = {
  id: 'haigis',
  published,
  erratum: 'none known',
  equation: 'P = 1336/(AL - d) - 1336/(1336/(K + R) - d), d = a0 + a1 ACD + a2 AL',
  constantsNeeded: ['haigis'],
  solve,
}
