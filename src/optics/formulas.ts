import { ADJUSTMENT_NAMES, type AdjustmentId, FORMULA_NAMES, FORMULAS, type FormulaId } from '../terms/formulas.js'
import { computed, type Outcome } from '../terms/outcome.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { Sureness } from '../terms/source.js'
import type { Dioptres, Millimetres } from '../terms/units.js'
import type { WorkingRecord } from '../terms/working.js'
import { haigis } from './haigis.js'
import { hofferQ } from './hoffer-q.js'
import { holladay1 } from './holladay-1.js'
import { adjustLength, type LengthKind, lengthAdjustmentModels } from './length-adjustments.js'
import { lensConstantModels } from './lens-constants.js'
import type { EyeMeasurements, Flag, LensConstants, LensFormula } from './lens-formula.js'
import { srkT } from './srk-t.js'
import { t2 } from './t2.js'
import { thinLensPower, thinLensRefraction } from './vergence.js'

export { adjustmentsFor } from './length-adjustments.js'

/** The five formulas by their id. */
export const LENS_FORMULAS: Readonly<Record<FormulaId, LensFormula>> = {
  'srk-t': srkT,
  t2,
  'holladay-1': holladay1,
  'hoffer-q': hofferQ,
  haigis,
}

/** The published models behind a lens power: formulas, relations between constants, length adjustments. */
export const COEFFICIENTS: readonly PublishedModel[] = [
  ...FORMULAS.map((id) => LENS_FORMULAS[id].published),
  ...lensConstantModels,
  ...lengthAdjustmentModels,
]

export interface EvaluationOptions {
  readonly adjustment: AdjustmentId
  /** How the length was measured; one group index when not said. */
  readonly lengthKind?: LengthKind | undefined
  /** mm; only the sum-of-segments length needs it. */
  readonly lensThickness?: Millimetres | undefined
}

/** What one formula says of one eye. */
export interface Evaluation {
  readonly axialLengthUsed: Millimetres
  readonly effectiveLensPosition: Millimetres
  /** Cornea to retina as the formula takes it. */
  readonly opticalLength: Millimetres
  /** Corneal power as the formula takes it; at another index than the keratometry. */
  readonly cornealPower: Dioptres
  readonly flags: readonly Flag[]
  /** Why the answer must not be used beside the others although there is a number. */
  readonly setAside?: string
  /** Lens power that leaves a target, dioptres at the spectacle plane; not rounded. */
  readonly powerFor: (target: Dioptres) => Dioptres
  /** Refraction at the spectacle plane that a power leaves. */
  readonly refractionFor: (power: Dioptres) => Dioptres
  /** How sure the formula's own coefficients are. */
  readonly sureness: Sureness
  /** Made when asked for: a forecast evaluates many times and shows one. */
  readonly working: () => WorkingRecord
}

/**
 * Evaluates one formula for one eye, with one length adjustment or none.
 *
 * - Domain: see each formula. Where the formula is undefined, or lacks a measurement or constant, there is no number but
 *   a reason. Outside its authors' range, or on a published clamp, there is a number with its flag, and `setAside` says why.
 * - The adjusted length enters both the lens position and the optics.
 *
 * @param formula which formula
 * @param eye measurements of the eye
 * @param constants constants of the lens; those a formula lacks are converted from the A-constant, with a flag
 * @param options adjustment, kind of length, lens thickness
 * @throws Error `OPTICS.ADJUSTMENT_ON_ADJUSTMENT` when an adjustment is asked on a sum-of-segments length
 */
export function evaluate(
  formula: FormulaId,
  eye: EyeMeasurements,
  constants: LensConstants,
  options: EvaluationOptions,
): Outcome<Evaluation> {
  const adjusted = adjustLength(options.adjustment, formula, eye.axialLength, options.lengthKind, options.lensThickness)
  if (adjusted.kind !== 'computed') return adjusted
  const { axialLength, source: adjustmentSource } = adjusted.value
  const model = LENS_FORMULAS[formula]
  const solved = model.solve({ ...eye, axialLength }, constants)
  if (solved.kind !== 'computed') return solved

  const { opticalLength, cornealPower, effectiveLensPosition, working } = solved.value
  const { flags } = adjusted.value
  const { source } = model.published
  const adjustment = options.adjustment === 'none' ? undefined : ADJUSTMENT_NAMES[options.adjustment]
  const evaluation = {
    axialLengthUsed: axialLength,
    effectiveLensPosition,
    opticalLength,
    cornealPower,
    flags: flags.length === 0 ? solved.value.flags : [...flags, ...solved.value.flags],
    powerFor: (target: Dioptres) => thinLensPower(opticalLength, cornealPower, effectiveLensPosition, target),
    refractionFor: (power: Dioptres) => thinLensRefraction(opticalLength, cornealPower, effectiveLensPosition, power),
    sureness: source.sureness,
    working() {
      const { inputs, steps } = working()
      return {
        inputs: [
          { name: 'axial length', value: eye.axialLength, unit: 'mm' },
          { name: 'keratometry', value: eye.keratometry, unit: 'D' },
          ...(adjustment === undefined ? [] : [{ name: 'length adjustment', value: adjustment }]),
          ...inputs,
        ],
        steps: [
          ...(adjustment === undefined ? [] : [{ name: 'adjusted axial length', value: axialLength, unit: 'mm' }]),
          ...steps,
          { name: 'optical length L', value: opticalLength, unit: 'mm' },
          { name: 'corneal power K', value: cornealPower, unit: 'D' },
          { name: 'effective lens position d', value: effectiveLensPosition, unit: 'mm' },
        ],
        equation: `${FORMULA_NAMES[formula]}: ${model.equation}`,
        source: adjustmentSource ? { ...source, cite: `${source.cite}; length adjustment: ${adjustmentSource.cite}` } : source,
      }
    },
  }
  const setAside = solved.value.setAside ?? adjusted.value.setAside
  return computed(setAside === undefined ? evaluation : { ...evaluation, setAside })
}
