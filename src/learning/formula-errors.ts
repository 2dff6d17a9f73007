import { thinLensRefraction } from '../optics/vergence.js'
import type { FormulaRow, Plan } from '../plan/plan.js'
import type { AdjustmentId, FormulaId } from '../terms/formulas.js'
import { dioptres, mm } from '../terms/units.js'

/**
 * How far one formula was from one eye. Achieved minus predicted, positive: the eye ended more hyperopic than predicted.
 * Source of the convention: Hoffer KJ et al. Am J Ophthalmol 2015;160:403-405 (from memory). Some groups print the opposite.
 */
export interface FormulaError {
  readonly formula: FormulaId
  readonly adjustment: AdjustmentId
  /** The recommendation stood on this row. */
  readonly basis: boolean
  /** As measured, before any adjustment. */
  readonly axialLengthMm: number
  readonly predictedD: number
  readonly errorD: number
}

export const ERROR_CONVENTION = 'achieved minus predicted; positive: more hyperopic than predicted'

/**
 * What a stored row predicts for a power. Powers that the plan did not list are worked out from the row's own stored
 * length, cornea and lens position, so that no later version of a formula speaks for an earlier one.
 */
export function predictedBy(row: FormulaRow, powerD: number): number | undefined {
  const listed = row.predicted.find((step) => Math.abs(step.powerD - powerD) < 1e-9)
  if (listed) return listed.refractionD
  const step = (name: string) => row.working?.steps.find((one) => one.name === name)?.value
  const [length, cornea, position] = [step('optical length L'), step('corneal power K'), row.effectiveLensPositionMm]
  if (typeof length !== 'number' || typeof cornea !== 'number' || position === undefined) return undefined
  return thinLensRefraction(mm(length), dioptres(cornea), mm(position), dioptres(powerD))
}

/** One error for each row of the plan that counted for the eye; a row that was set aside then is not judged now. */
export function formulaErrors(plan: Plan, implantedD: number, achievedD: number): readonly FormulaError[] {
  const axialLengthMm = plan.case.axialLengthMm?.value
  if (axialLengthMm === undefined) return []
  return plan.lens.formulas.flatMap((row): readonly FormulaError[] => {
    const predictedD = row.counts ? predictedBy(row, implantedD) : undefined
    if (predictedD === undefined) return []
    const { formula, adjustment, basis } = row
    return [{ formula, adjustment, basis, axialLengthMm, predictedD, errorD: achievedD - predictedD }]
  })
}
