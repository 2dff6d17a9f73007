import { lensPower } from '../terms/power.js'
import { type Dioptres, dioptres } from '../terms/units.js'
import {
  counts,
  type EvaluatedRow,
  type EyeForLens,
  evaluateRows,
  mixedModality,
  type RowsWanted,
  unfitForFormulas,
} from './formula-rows.js'
import { type Basis, basisOf, lowestOnMyopicSide, rangeOf } from './lens-choice.js'
import type { LensSource } from './lens-source.js'
import { type ExistingPower, powersThatExist } from './powers-that-exist.js'

/** What one lens, with its constants and the powers it is made in, can do for one eye. */
export interface LensAnswer {
  readonly source: LensSource
  readonly rows: readonly EvaluatedRow[]
  readonly basis: Basis
  readonly powers: readonly ExistingPower[]
  /** The lens to take; absent when none that is made will do. */
  readonly chosen?: ExistingPower
  /** Why there is none. */
  readonly whyNone?: string
}

/** A gap in the range may leave only a power far beyond what was asked for: that is no recommendation. */
const FARTHEST_BEYOND_D = 1.5

/**
 * Evaluates every formula for a lens, says on which rows a choice stands, and chooses among the powers that are made.
 * @param wanted rows to leave out when they can carry no choice
 */
export function answerFor(eye: EyeForLens, source: LensSource, wanted?: RowsWanted): LensAnswer {
  const rows = evaluateRows(eye, source, wanted)
  const basis = basisOf(rows, eye)
  const powers = powersThatExist(source.lens)
  const answer = { source, rows, basis, powers }
  const nearest = basis.rows.length > 0 ? lowestOnMyopicSide(basis.rows, eye.target, powers) : undefined
  return nearest && !tooStrong(nearest, basis)
    ? { ...answer, chosen: nearest }
    : { ...answer, whyNone: whyNone(basis, eye, source, powers, nearest) }
}

/** The lens for another target in the same eye, by the same rows. */
export function chosenFor({ basis, powers }: LensAnswer, target: Dioptres): ExistingPower | undefined {
  if (basis.rows.length === 0) return undefined
  const nearest = lowestOnMyopicSide(basis.rows, target, powers)
  const asked = basis.rows.map(({ evaluation }) => evaluation?.powerFor(target) ?? Number.NEGATIVE_INFINITY)
  return nearest && nearest.powerD - Math.max(...asked) <= FARTHEST_BEYOND_D ? nearest : undefined
}

/** Refraction that a power leaves, over some rows. */
export const leavesOver = (rows: readonly EvaluatedRow[], powerD: number) =>
  rangeOf(rows.flatMap(({ evaluation }) => (evaluation ? [evaluation.refractionFor(dioptres(powerD)) as number] : [])))

/** A power that exists with what it leaves over the rows that the recommendation stands on. */
export function withLeaves(answer: LensAnswer, power: ExistingPower) {
  const leaves = leavesOver(answer.basis.rows, power.powerD)
  return leaves && { ...power, leaves }
}

/** The row whose answer lies nearest the middle of those that the choice stands on; the first where two are as near. */
export function middleRow({ basis }: LensAnswer, powerD: number): EvaluatedRow | undefined {
  const leaves = leavesOver(basis.rows, powerD)
  if (!leaves) return undefined
  const middle = (leaves.lowD + leaves.highD) / 2
  const distance = ({ evaluation }: EvaluatedRow) =>
    evaluation ? Math.abs(evaluation.refractionFor(dioptres(powerD)) - middle) : Number.POSITIVE_INFINITY
  return basis.rows.reduce((near, row) => (distance(row) < distance(near) - 1e-9 ? row : near))
}

/** Rows that count, carry no adjustment, and are not stood on. */
export const unadjustedBeside = ({ rows, basis }: LensAnswer): readonly EvaluatedRow[] =>
  rows.filter((row) => counts(row) && row.adjustment === 'none' && !basis.rows.includes(row))

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
  const unfit = unfitForFormulas(eye)
  if (unfit) return `No lens is recommended: ${unfit}.`
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
