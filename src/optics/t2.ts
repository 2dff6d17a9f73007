import type { PublishedModel } from '../terms/published-model.js'
import type { Source } from '../terms/source.js'
import type { Dioptres, Millimetres } from '../terms/units.js'
import { coefficientsOf, type LensFormula } from './lens-formula.js'
import { type Placed, srkTCornealPower, srkTEye, srkTOpticalLength, srkTPositionFrom } from './srk-t.js'
import { thinLensPower, thinLensRefraction } from './vergence.js'

const source: Source = {
  cite: 'Sheard RM, Smith GT, Cooke DL. Improving the prediction accuracy of the SRK/T formula: the T2 formula. J Cataract Refract Surg 2010;36:1829-1834',
  year: 2010,
  sureness: 'memory',
}

const HEIGHT_OFFSET = -10.326
const HEIGHT_PER_LENGTH = 0.3263
const HEIGHT_PER_POWER = 0.13533
/** Longest eye for which a published series compared it with SRK/T, Idrobo-Robalino CA et al. BMC Ophthalmol 2019;19:222. */
const COMPARED_TO = 30

const cornealHeight = (axialLength: Millimetres, keratometry: Dioptres): number =>
  HEIGHT_OFFSET + HEIGHT_PER_LENGTH * axialLength + HEIGHT_PER_POWER * keratometry

/**
 * Effective lens position by T2: SRK/T with the corneal height taken from a regression.
 *
 * - Domain: no root, so always defined; but linear in length without limit (9.3 mm at 36 mm, where other formulas say 6 to 7.5).
 * - Source: Sheard 2010.
 *
 * @example
 * ```ts
 * t2LensPosition(mm(23.5), dioptres(43.5), 118.4) // => 5.106833
 * ```
 * @param axialLength mm
 * @param keratometry dioptres at index 1.3375
 * @param aConstant A-constant as for SRK/T
 * @returns mm behind the cornea
 */
export const t2LensPosition = (axialLength: Millimetres, keratometry: Dioptres, aConstant: number): Millimetres =>
  srkTPositionFrom(cornealHeight(axialLength, keratometry), aConstant)

/**
 * Lens power by T2.
 *
 * @example
 * ```ts
 * t2Power(mm(30), dioptres(43), 119, dioptres(-1)) // => 5.265808
 * ```
 * @param axialLength mm
 * @param keratometry dioptres at index 1.3375
 * @param aConstant A-constant as for SRK/T
 * @param target refraction wanted, dioptres at the spectacle plane
 * @returns dioptres, signed
 */
export const t2Power = (axialLength: Millimetres, keratometry: Dioptres, aConstant: number, target: Dioptres): Dioptres =>
  thinLensPower(
    srkTOpticalLength(axialLength),
    srkTCornealPower(keratometry),
    t2LensPosition(axialLength, keratometry, aConstant),
    target,
  )

/**
 * Refraction left by a lens, by T2; the inverse of `t2Power`.
 * @param axialLength mm
 * @param keratometry dioptres at index 1.3375
 * @param aConstant A-constant as for SRK/T
 * @param power lens power, dioptres, signed
 * @returns dioptres at the spectacle plane
 */
export const t2Refraction = (axialLength: Millimetres, keratometry: Dioptres, aConstant: number, power: Dioptres): Dioptres =>
  thinLensRefraction(
    srkTOpticalLength(axialLength),
    srkTCornealPower(keratometry),
    t2LensPosition(axialLength, keratometry, aConstant),
    power,
  )

const published: PublishedModel = {
  id: 't2',
  about: 'lens power',
  model: 'T2',
  population: '11,189 eyes',
  years: 'before 2010',
  source,
  coefficients: coefficientsOf(source, [
    ['corneal height, offset', HEIGHT_OFFSET, 'mm'],
    ['corneal height, per mm of length', HEIGHT_PER_LENGTH, ''],
    ['corneal height, per dioptre', HEIGHT_PER_POWER, 'mm/D'],
  ]),
}

function place(axialLength: Millimetres, keratometry: Dioptres, aConstant: number): Placed {
  const effectiveLensPosition = t2LensPosition(axialLength, keratometry, aConstant)
  return {
    effectiveLensPosition,
    steps: () => [{ name: 'corneal height', value: cornealHeight(axialLength, keratometry), unit: 'mm' }],
    flags:
      axialLength > COMPARED_TO
        ? [
            {
              code: 't2-position-unbounded',
              words: `the lens position of T2 grows with length without limit (here ${effectiveLensPosition.toFixed(1)} mm); it was compared with SRK/T only to ${COMPARED_TO} mm`,
            },
          ]
        : [],
  }
}

/**
 * T2. Population: 11,189 eyes (abstract); in 63 eyes of 25 to 30 mm it was no better than SRK/T
 * (Idrobo-Robalino CA et al. BMC Ophthalmol 2019;19:222). Erratum: none known.
 */
export const t2: LensFormula = {
  id: 't2',
  published,
  erratum: 'none known',
  equation: 'as SRK/T, with H = -10.326 + 0.32630 AL + 0.13533 K',
  constantsNeeded: ['aConstant'],
  solve: (eye, constants) => srkTEye('T2', eye, constants, place),
}
