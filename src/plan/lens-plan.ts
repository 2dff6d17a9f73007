import type { Case } from '../case/case.js'
import type { LensList } from '../case/lens-list.js'
import { dioptres } from '../terms/units.js'
import { backupLensOf } from './backup-lens.js'
import { fellowEyeOf } from './fellow-eye.js'
import { counts, type EvaluatedRow, type EyeForLens, eyeForLens } from './formula-rows.js'
import { answerFor, type LensAnswer, leavesOver, unadjustedBeside } from './lens-answer.js'
import { type Basis, powersToShow, rangeOf } from './lens-choice.js'
import { lensForecast } from './lens-forecast.js'
import { type LensSource, lensSourceOf } from './lens-source.js'
import { gapsInRange, gapThatMatters, orderingOf } from './order-lens.js'
import { plainWorking, toMillionth } from './plain-working.js'
import type { FormulaRow, Plan } from './plan.js'
import { type ExistingPower, powersThatExist } from './powers-that-exist.js'
import { separateConstantsOf } from './separate-constants-asked.js'
import { targetChoiceOf } from './target-choice.js'
import { toricOf } from './toric-plan.js'

type LensPlan = Plan['lens']

/** Emmetropia is computed for when no target was stated, and the plan says that it was assumed. */
const ASSUMED_TARGET_D = 0

const WITHOUT = {
  eye: {
    label: 'which eye',
    wouldChange: 'No lens power is given until the eye is named: measurements of the other eye would give another lens.',
  },
  axialLengthMm: {
    label: 'axial length',
    wouldChange: 'Lens power, needle-block risk and the retinal detachment band all stand on it.',
  },
  keratometry: {
    label: 'keratometry',
    wouldChange: 'One dioptre of corneal power changes the lens power by about one dioptre.',
  },
  lensConstants: {
    label: 'lens constants',
    wouldChange: 'Write the A-constant, such as "A 118.9", or a lens of the department\'s list.',
  },
} as const

function missingForLens(known: Case, source: LensSource | undefined): LensPlan['missing'] {
  const missing: (keyof typeof WITHOUT)[] = []
  if (!known.eye) missing.push('eye')
  if (!known.axialLengthMm) missing.push('axialLengthMm')
  if (!known.keratometry) missing.push('keratometry')
  if (!source) missing.push('lensConstants')
  const unknownLabel = known.lensLabel && !source ? `The lens "${known.lensLabel.value}" is not in the lens list. ` : ''
  return missing.map((fact) => {
    const { label, wouldChange } = WITHOUT[fact]
    return { fact, label, wouldChange: fact === 'lensConstants' ? `${unknownLabel}${wouldChange}` : wouldChange }
  })
}

export interface LensPlanOptions {
  /** Whether to operate on the eye 10,000 times over as well. */
  readonly monteCarlo?: boolean | undefined
}

/**
 * The lens part of a plan: every formula's answer, which of them count, a lens that exists on the myopic side of the
 * target, how sure that is, the lens for capsule loss, and what it means beside the other eye.
 */
export function lensPlan(known: Case, lensList: LensList | undefined, options: LensPlanOptions = {}): LensPlan {
  const source = lensSourceOf(known, lensList)
  const target = {
    refractionD: known.targetRefractionD?.value ?? ASSUMED_TARGET_D,
    stated: known.targetRefractionD !== undefined,
  }
  const missing = missingForLens(known, source)
  const eye = eyeForLens(known, target.refractionD)
  const holes = source?.lens ? gapsInRange(powersThatExist(source.lens)) : []
  const shared = {
    missing,
    target,
    ...(source?.label === undefined ? {} : { lensLabel: source.label }),
    ...(source?.lens && lensList ? { lensListTitle: lensList.title } : {}),
    constants: source?.shown ?? [],
    ...(holes.length > 0 ? { gapsInRange: holes } : {}),
  }
  if (missing.length > 0 || !eye || !source) return { ...shared, formulas: [], notes: [...(source?.notes ?? [])] }

  const answer = answerFor(eye, source)
  const { rows, basis, powers, chosen } = answer
  const shown = powersToShow(rows, chosen?.powerD, powers)
  const spread = rangeOf(rows.filter(counts).map(({ powerForTarget }) => powerForTarget))
  const recommended = chosen && recommendedLens(known, eye, answer, chosen)
  const forecast = chosen && lensForecast(known, eye, answer, chosen.powerD, options.monteCarlo ?? false)
  const choice = targetChoiceOf(known, answer)
  const toric = toricOf(known, eye, answer, chosen?.powerD)
  const separate = separateConstantsOf(known, eye)
  return {
    ...shared,
    formulas: rows.map((row) => formulaRow(row, basis, shown)),
    ...(spread ? { spread } : {}),
    ...(recommended ? { recommended } : { noRecommendation: answer.whyNone ?? 'No lens is recommended.' }),
    ...(forecast ? { forecast } : {}),
    backup: backupLensOf(eye, lensList),
    fellow: fellowEyeOf(known, eye, answer, recommended),
    ...(choice ? { targetChoice: choice } : {}),
    ...(toric ? { toric } : {}),
    ...(separate ? { separateConstants: separate } : {}),
    notes: notesOf(known, answer, eye),
  }
}

function formulaRow(row: EvaluatedRow, basis: Basis, shown: readonly number[]): FormulaRow {
  const stoodOn = basis.rows.includes(row)
  const reason = row.setAside ?? (stoodOn ? undefined : basis.othersBecause || undefined)
  const { evaluation } = row
  return {
    formula: row.formula,
    adjustment: row.adjustment,
    axialLengthUsedMm: row.axialLengthUsedMm,
    ...(evaluation ? { effectiveLensPositionMm: evaluation.effectiveLensPosition } : {}),
    ...(row.powerForTarget === undefined ? {} : { powerForTargetD: row.powerForTarget }),
    ...(row.bounds ? { opticalBounds: { lowD: row.bounds.low, highD: row.bounds.high } } : {}),
    counts: counts(row),
    basis: stoodOn,
    ...(reason === undefined ? {} : { reason }),
    flags: evaluation ? evaluation.flags.map(({ code, words }) => ({ code, words })) : [],
    predicted: evaluation
      ? shown.map((powerD) => ({ powerD, refractionD: toMillionth(evaluation.refractionFor(dioptres(powerD))) }))
      : [],
    ...(evaluation ? { working: plainWorking(evaluation.working()) } : {}),
  }
}

function recommendedLens(
  known: Case,
  eye: EyeForLens,
  answer: LensAnswer,
  chosen: ExistingPower,
): NonNullable<LensPlan['recommended']> {
  const { basis } = answer
  const leaves = leavesOver(basis.rows, chosen.powerD) ?? { lowD: Number.NaN, highD: Number.NaN }
  const leavesUnadjusted = leavesOver(unadjustedBeside(answer), chosen.powerD)
  const ordering = orderingOf(known, eye, answer, chosen)
  return {
    ...chosen,
    leaves,
    ...(leavesUnadjusted ? { leavesUnadjusted } : {}),
    standsOn: basis.words,
    awaitsPrint: basis.rows.some(({ sureness }) => sureness === 'memory'),
    ...(ordering ? { ordering } : {}),
  }
}

function notesOf(known: Case, answer: LensAnswer, eye: EyeForLens): string[] {
  const { source } = answer
  const gap = gapThatMatters(answer)
  const notes = [...source.notes, ...(gap ? [gap] : [])]
  if (!known.targetRefractionD) notes.push('No target was stated: emmetropia (0.00 D) was assumed. Ask what the patient wants.')
  if (!source.lens) notes.push('Steps of 0.5 D are assumed: check that this power is made and in stock.')
  if (!known.axialLengthMethod)
    notes.push('How the axial length was measured was not stated: taken as optical for the adjustments.')
  if (source.modality === 'not-stated')
    notes.push('It was not stated whether the constants are for optical or ultrasound lengths.')
  if (eye.lengthKind === 'ultrasound' && eye.axialLength > 25)
    notes.push('The published length adjustments are for optical lengths and were not applied to this ultrasound length.')
  return notes
}
