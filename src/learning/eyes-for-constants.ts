import { adjustmentsFor, evaluate } from '../optics/formulas.js'
import type { LengthKind } from '../optics/length-adjustments.js'
import type { LensConstants } from '../optics/lens-formula.js'
import type { AdjustmentId, FormulaId } from '../terms/formulas.js'
import { dioptres } from '../terms/units.js'
import type { ImplantedEye } from './lesson.js'

/**
 * Below this power, plus or minus, the refraction hardly depends on where the lens stands, so that a constant worked out
 * from it is worthless: Preussner P-R. J Cataract Refract Surg 2010;36:531-532.
 */
export const LEAST_POWER_D = 5
/** Above it a length as measured makes the constant repair an error of length: Wang L et al. J Cataract Refract Surg 2011;37:2018-2027. */
export const LONG_FROM_MM = 25
const LONG_ADJUSTMENT: AdjustmentId = 'wang-koch-2011'

export interface LeftOut {
  readonly because: string
  readonly eyes: number
}

/** One lens, one way of measuring length: constants of different ones are never pooled. */
export interface LensGroup {
  readonly lensLabel: string
  readonly lengthKind: LengthKind
  readonly eyes: readonly ImplantedEye[]
}

export function groupByLens(eyes: readonly ImplantedEye[]): readonly LensGroup[] {
  const groups = new Map<string, ImplantedEye[]>()
  for (const eye of eyes) {
    const key = `${eye.lensLabel.trim().toLowerCase()}\n${eye.eye.lengthKind}`
    const group = groups.get(key)
    if (group) group.push(eye)
    else groups.set(key, [eye])
  }
  return [...groups.values()]
    .flatMap((members): readonly LensGroup[] => {
      const [first] = members
      return first ? [{ lensLabel: first.lensLabel, lengthKind: first.eye.lengthKind, eyes: members }] : []
    })
    .toSorted((one, other) => other.eyes.length - one.eyes.length)
}

/** The adjustment under which this eye may be used for a formula's constants, or why it may not be. */
export function usableFor(
  formula: FormulaId,
  { eye, powerD }: ImplantedEye,
): { readonly adjustment: AdjustmentId } | { readonly because: string } {
  if (!(Math.abs(powerD) >= LEAST_POWER_D)) return { because: `lens between −${LEAST_POWER_D} and +${LEAST_POWER_D} D` }
  if (eye.axialLength <= LONG_FROM_MM) return { adjustment: 'none' }
  return adjustmentsFor(formula, eye.axialLength, eye.lengthKind).includes(LONG_ADJUSTMENT)
    ? { adjustment: LONG_ADJUSTMENT }
    : { because: `over ${LONG_FROM_MM} mm without a length adjustment for it` }
}

/** Refraction that a formula predicts for the implanted lens, or undefined where it is undefined or set aside for the eye. */
export function predictedWith(
  formula: FormulaId,
  { eye, powerD }: ImplantedEye,
  constants: LensConstants,
  adjustment: AdjustmentId,
): number | undefined {
  const outcome = evaluate(formula, eye, constants, { adjustment, lengthKind: eye.lengthKind })
  if (outcome.kind !== 'computed') return undefined
  const predicted = outcome.value.refractionFor(dioptres(powerD))
  return outcome.value.setAside === undefined && Number.isFinite(predicted) ? predicted : undefined
}
