import type { Case } from '../case/case.js'
import type { LensList } from '../case/lens-list.js'
import { lensPower } from '../terms/power.js'
import { dioptres } from '../terms/units.js'
import { counts, type EvaluatedRow, type EyeForLens, evaluateRows, eyeForLens, mixedModality } from './formula-rows.js'
import { type Basis, basisOf, lowestOnMyopicSide, powersToShow, rangeOf } from './lens-choice.js'
import { type LensSource, lensSourceOf } from './lens-source.js'
import type { FormulaRow, Plan } from './plan.js'
import { type ExistingPower, powersThatExist } from './powers-that-exist.js'

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
    wouldChange:
      'Write the A-constant (such as "A 118.9") or a lens of the department\'s list: without it no power can be computed.',
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

/** The lens part of a plan: every formula's answer, which of them count, and a lens that exists on the myopic side of the target. */
export function lensPlan(known: Case, lensList: LensList | undefined): LensPlan {
  const source = lensSourceOf(known, lensList)
  const target = {
    refractionD: known.targetRefractionD?.value ?? ASSUMED_TARGET_D,
    stated: known.targetRefractionD !== undefined,
  }
  const missing = missingForLens(known, source)
  const eye = eyeForLens(known, target.refractionD)
  const shared = {
    missing,
    target,
    ...(source?.label === undefined ? {} : { lensLabel: source.label }),
    ...(source?.lens && lensList ? { lensListTitle: lensList.title } : {}),
    constants: source?.shown ?? [],
  }
  if (missing.length > 0 || !eye || !source) return { ...shared, formulas: [], notes: [...(source?.notes ?? [])] }

  const rows = evaluateRows(eye, source)
  const basis = basisOf(rows, eye)
  const powers = powersThatExist(source.lens)
  const chosen = basis.rows.length > 0 ? lowestOnMyopicSide(basis.rows, eye, powers) : undefined
  const shown = powersToShow(rows, chosen?.powerD, powers)
  const spread = rangeOf(rows.filter(counts).map(({ powerForTarget }) => powerForTarget))
  return {
    ...shared,
    formulas: rows.map((row) => formulaRow(row, basis, shown)),
    ...(spread ? { spread } : {}),
    ...(chosen && !tooStrong(chosen, basis)
      ? { recommended: recommendedLens(chosen, rows, basis) }
      : { noRecommendation: whyNone(basis, eye, source, powers, chosen) }),
    notes: notesOf(known, source, eye),
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
    counts: counts(row),
    basis: stoodOn,
    ...(reason === undefined ? {} : { reason }),
    flags: evaluation ? evaluation.flags.map(({ code, words }) => ({ code, words })) : [],
    predicted: evaluation ? shown.map((powerD) => ({ powerD, refractionD: evaluation.refractionFor(dioptres(powerD)) })) : [],
    ...(evaluation
      ? {
          working: {
            inputs: [...evaluation.working.inputs],
            steps: [...evaluation.working.steps],
            equation: evaluation.working.equation,
            source: evaluation.working.source,
          },
        }
      : {}),
  }
}

function recommendedLens(
  chosen: ExistingPower,
  rows: readonly EvaluatedRow[],
  basis: Basis,
): NonNullable<LensPlan['recommended']> {
  const left = (of: readonly EvaluatedRow[]) =>
    rangeOf(of.flatMap(({ evaluation }) => (evaluation ? [evaluation.refractionFor(dioptres(chosen.powerD)) as number] : [])))
  const unadjusted = rows.filter((row) => counts(row) && row.adjustment === 'none' && !basis.rows.includes(row))
  const leaves = left(basis.rows) ?? { lowD: Number.NaN, highD: Number.NaN }
  const leavesUnadjusted = left(unadjusted)
  return {
    ...chosen,
    leaves,
    ...(leavesUnadjusted ? { leavesUnadjusted } : {}),
    standsOn: basis.words,
    awaitsPrint: basis.rows.some(({ sureness }) => sureness === 'memory'),
  }
}

/** A gap in the range may leave only a power far beyond what was asked for: that is no recommendation. */
const FARTHEST_BEYOND_D = 1.5

const tooStrong = (chosen: ExistingPower, basis: Basis): boolean =>
  chosen.powerD - Math.max(...basis.rows.map(({ powerForTarget }) => powerForTarget ?? Number.NEGATIVE_INFINITY)) >
  FARTHEST_BEYOND_D

function whyNone(
  basis: Basis,
  eye: EyeForLens,
  source: LensSource,
  powers: readonly ExistingPower[],
  nearest: ExistingPower | undefined,
): string {
  const mixed = mixedModality(eye, source)
  if (mixed) return `No lens is recommended: ${mixed}.`
  if (basis.rows.length === 0) return 'No lens is recommended: every formula is set aside for this eye; see why in each row.'
  const asked = rangeOf(
    basis.rows.flatMap(({ powerForTarget }) => (powerForTarget === undefined ? [] : [powerForTarget as number])),
  )
  const wanted = asked ? `${lensPower(asked.lowD)} to ${lensPower(asked.highD)} is asked for` : ''
  if (nearest)
    return `No lens is recommended: ${wanted}, and the nearest that is made on the myopic side is ${lensPower(nearest.powerD)}.`
  const strongest = powers.at(-1)
  return `No lens is recommended: ${wanted}, and the strongest that is made is ${strongest ? lensPower(strongest.powerD) : 'none'}.`
}

function notesOf(known: Case, source: LensSource, eye: EyeForLens): string[] {
  const notes = [...source.notes]
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
