import type { Case } from '../case/case.js'
import { adjustmentsFor, type Evaluation, evaluate } from '../optics/formulas.js'
import type { LengthKind } from '../optics/length-adjustments.js'
import { ALLOWANCE, type PowerBounds, powerBounds } from '../optics/optical-bounds.js'
import { type AdjustmentId, FORMULAS, type FormulaId } from '../terms/formulas.js'
import { lensPower } from '../terms/power.js'
import type { Sureness } from '../terms/source.js'
import { type Dioptres, dioptres, type Millimetres, mm } from '../terms/units.js'
import type { LensSource } from './lens-source.js'

/** One formula with one adjustment, evaluated for this eye or refused with the reason. */
export interface EvaluatedRow {
  readonly formula: FormulaId
  readonly adjustment: AdjustmentId
  readonly axialLengthUsedMm: number
  readonly evaluation?: Evaluation
  readonly powerForTarget?: Dioptres
  /** What optics alone allow, whatever the formula says. */
  readonly bounds?: PowerBounds
  readonly sureness: Sureness
  /** Why the value must not be used for this eye. */
  readonly setAside?: string
}

export interface EyeForLens {
  readonly axialLength: Millimetres
  readonly keratometry: Dioptres
  readonly anteriorChamberDepth: Millimetres | undefined
  readonly lensThickness: Millimetres | undefined
  readonly lengthKind: LengthKind
  readonly target: Dioptres
  /** The cornea had refractive surgery: keratometry no longer says what these formulas take it to say. */
  readonly operatedCornea: boolean
  /** The vitreous is replaced by oil: neither the measured length nor the optics are those that these formulas take. */
  readonly oilFilled: boolean
}

const OPERATED_CORNEA =
  'the cornea had refractive surgery, and these formulas read standard keratometry: use a method made for operated corneas'
const OIL_FILLED =
  'the eye holds silicone oil: a length not taken in its setting for oil is wrong, and with oil left in the eye ends dioptres more hyperopic than these formulas say (common teaching, no source): settle oil and lens with the retina surgeon'

/** Why no formula here may choose a lens for this eye; undefined when they may. */
export function unfitForFormulas({ operatedCornea, oilFilled }: EyeForLens): string | undefined {
  if (oilFilled) return OIL_FILLED
  return operatedCornea ? OPERATED_CORNEA : undefined
}

const KIND_OF_METHOD = {
  optical: 'group-index',
  'optical-segments': 'sum-of-segments',
  immersion: 'ultrasound',
  contact: 'ultrasound',
  ultrasound: 'ultrasound',
} as const satisfies Record<NonNullable<Case['axialLengthMethod']>['value'], LengthKind>

/** What the formulas need of this eye, or undefined when axial length or keratometry is not known. */
export function eyeForLens(known: Case, targetRefractionD: number): EyeForLens | undefined {
  const axialLength = known.axialLengthMm?.value
  const keratometry = known.keratometry?.value.meanD
  if (axialLength === undefined || keratometry === undefined) return undefined
  const depth = known.anteriorChamberDepthMm?.value
  const thickness = known.lensThicknessMm?.value
  const method = known.axialLengthMethod?.value
  return {
    axialLength: mm(axialLength),
    keratometry: dioptres(keratometry),
    anteriorChamberDepth: depth === undefined ? undefined : mm(depth),
    lensThickness: thickness === undefined ? undefined : mm(thickness),
    lengthKind: method === undefined ? 'group-index' : KIND_OF_METHOD[method],
    target: dioptres(targetRefractionD),
    operatedCornea: known.previousRefractiveSurgery?.value === true,
    oilFilled: known.siliconeOil?.value === true,
  }
}

function evaluateRow(
  formula: FormulaId,
  adjustment: AdjustmentId,
  eye: EyeForLens,
  source: LensSource,
  mixed: string | undefined,
): EvaluatedRow {
  const outcome = evaluate(formula, eye, source.constants, {
    adjustment,
    lengthKind: eye.lengthKind,
    lensThickness: eye.lensThickness,
  })
  if (outcome.kind !== 'computed') {
    return { formula, adjustment, axialLengthUsedMm: eye.axialLength, sureness: 'memory', setAside: outcome.reason }
  }
  const evaluation = outcome.value
  const powerForTarget = evaluation.powerFor(eye.target)
  const bounds = powerBounds(evaluation.axialLengthUsed, eye.keratometry, eye.target)
  const impossible = bounds.kind === 'computed' ? impossibleIn(bounds.value, powerForTarget) : undefined
  const setAside = evaluation.setAside ?? mixed ?? unfitForFormulas(eye) ?? impossible
  return {
    formula,
    adjustment,
    axialLengthUsedMm: evaluation.axialLengthUsed,
    evaluation,
    powerForTarget,
    ...(bounds.kind === 'computed' ? { bounds: bounds.value } : {}),
    sureness: evaluation.sureness,
    ...(setAside === undefined ? {} : { setAside }),
  }
}

/** Why a power cannot be right whatever the formula says, or undefined. */
function impossibleIn({ low, high }: PowerBounds, power: Dioptres): string | undefined {
  if (power >= low - ALLOWANCE && power <= high + ALLOWANCE) return undefined
  return `optically impossible in this eye: a trace through every possible cornea and lens position asks for ${lensPower(low)} to ${lensPower(high)}, this formula for ${lensPower(power)}`
}

/** Why no value may be used when constants and length were measured by different methods. */
export function mixedModality(eye: EyeForLens, source: LensSource): string | undefined {
  if (source.modality === 'not-stated') return undefined
  const length = eye.lengthKind === 'ultrasound' ? 'ultrasound' : 'optical'
  if (length === source.modality) return undefined
  return `the constants are for ${source.modality} lengths and this length is ${length === 'optical' ? 'taken as optical' : 'by ultrasound'}: never mixed`
}

/** Which rows to evaluate. */
export type RowsWanted = (adjustment: AdjustmentId) => boolean

/** Every formula without adjustment and with each published adjustment that was made for it and holds for this length. */
export function evaluateRows(eye: EyeForLens, source: LensSource, wanted: RowsWanted = () => true): readonly EvaluatedRow[] {
  const mixed = mixedModality(eye, source)
  return FORMULAS.flatMap((formula) => {
    const adjustments: readonly AdjustmentId[] = ['none', ...adjustmentsFor(formula, eye.axialLength, eye.lengthKind)]
    const possible =
      eye.lensThickness === undefined ? adjustments.filter((adjustment) => adjustment !== 'cooke-2019') : adjustments
    return possible.filter(wanted).map((adjustment) => evaluateRow(formula, adjustment, eye, source, mixed))
  })
}

export const counts = (row: EvaluatedRow): row is EvaluatedRow & { evaluation: Evaluation; powerForTarget: Dioptres } =>
  row.setAside === undefined && row.evaluation !== undefined && row.powerForTarget !== undefined
