import type { FormulaId } from '../terms/formulas.js'
import type { Dioptres, Millimetres } from '../terms/units.js'
import { haigisCornealPower, haigisLensPosition } from './haigis.js'
import { hofferQLensPosition } from './hoffer-q.js'
import { holladay1CornealPower, holladay1LensPosition, holladay1OpticalLength } from './holladay-1.js'
import { haigisStartFromA, personalisedAcdFromA, surgeonFactorFromA } from './lens-constants.js'
import type { LensConstants } from './lens-formula.js'
import { srkTCornealPower, srkTLensPosition, srkTOpticalLength } from './srk-t.js'
import { t2LensPosition } from './t2.js'

/** One formula with its constants filled in and nothing checked, for many evaluations of eyes near one that was checked. */
export interface BareFormula {
  readonly opticalLength: (axialLength: Millimetres) => Millimetres
  readonly cornealPower: (keratometry: Dioptres) => Dioptres
  /** NaN where the formula is undefined. */
  readonly lensPosition: (axialLength: Millimetres, keratometry: Dioptres, anteriorChamberDepth: Millimetres) => Millimetres
}

const same = <Value>(value: Value): Value => value

/** For each formula, how its constants make a bare one. The constants must be those of an eye that `evaluate` computed. */
export const BARE_FORMULAS: Readonly<Record<FormulaId, (constants: LensConstants) => BareFormula>> = {
  'srk-t': ({ aConstant = Number.NaN }) => ({
    opticalLength: srkTOpticalLength,
    cornealPower: srkTCornealPower,
    lensPosition: (axialLength, keratometry) => srkTLensPosition(axialLength, keratometry, aConstant),
  }),
  t2: ({ aConstant = Number.NaN }) => ({
    opticalLength: srkTOpticalLength,
    cornealPower: srkTCornealPower,
    lensPosition: (axialLength, keratometry) => t2LensPosition(axialLength, keratometry, aConstant),
  }),
  'holladay-1': ({ aConstant = Number.NaN, surgeonFactor = surgeonFactorFromA(aConstant) }) => ({
    opticalLength: holladay1OpticalLength,
    cornealPower: holladay1CornealPower,
    lensPosition: (axialLength, keratometry) => holladay1LensPosition(axialLength, keratometry, surgeonFactor),
  }),
  'hoffer-q': ({ aConstant = Number.NaN, personalisedAcd = personalisedAcdFromA(aConstant) }) => ({
    opticalLength: same,
    cornealPower: same,
    lensPosition: (axialLength, keratometry) => hofferQLensPosition(axialLength, keratometry, personalisedAcd),
  }),
  haigis: ({ aConstant = Number.NaN, haigis = haigisStartFromA(aConstant) }) => ({
    opticalLength: same,
    cornealPower: haigisCornealPower,
    lensPosition: (axialLength, _, anteriorChamberDepth) => haigisLensPosition(axialLength, anteriorChamberDepth, haigis),
  }),
}
