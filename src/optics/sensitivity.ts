import type { FormulaId } from '../terms/formulas.js'
import { computed, type Outcome } from '../terms/outcome.js'
import { type Dioptres, dioptres, type Millimetres, mm } from '../terms/units.js'
import { type Evaluation, type EvaluationOptions, evaluate } from './formulas.js'
import type { EyeMeasurements, LensConstants } from './lens-formula.js'
import { AQUEOUS, VERTEX_DISTANCE } from './vergence.js'

/** Change of the refraction at the spectacle plane with each part of a thin-lens eye, the others held still. */
export interface ThinLensPartials {
  /** Dioptres per mm of optical length. */
  readonly perLength: number
  /** Dioptres per mm of lens position. Changes sign with the lens power and vanishes without one. */
  readonly perPosition: number
  /** Dioptres per dioptre of lens power. */
  readonly perPower: number
  /** Dioptres per dioptre of corneal power. */
  readonly perCornea: number
}

/**
 * Partial derivatives of `thinLensRefraction`.
 *
 * - Domain: as `thinLensRefraction`.
 * - Source: algebra on the vergence equation.
 *
 * @param opticalLength mm
 * @param cornealPower dioptres, as the formula takes it
 * @param lensPosition mm
 * @param power lens power, dioptres, signed
 */
export function thinLensPartials(
  opticalLength: Millimetres,
  cornealPower: Dioptres,
  lensPosition: Millimetres,
  power: Dioptres,
): ThinLensPartials {
  const afterLens = AQUEOUS / (opticalLength - lensPosition)
  const beforeLens = afterLens - power
  const t = 1 + (beforeLens * lensPosition) / AQUEOUS
  const atCornea = beforeLens / t - cornealPower
  const spectacle = 1 + 0.001 * VERTEX_DISTANCE * atCornea
  const q = 1 / (spectacle * spectacle)
  const perVergence = q / (t * t)
  return {
    perLength: (-perVergence * afterLens * afterLens) / AQUEOUS,
    perPosition: (perVergence * (afterLens * afterLens - beforeLens * beforeLens)) / AQUEOUS,
    perPower: -perVergence,
    perCornea: -q,
  }
}

/** Change of a formula's predicted refraction with what it was told, everything that moves with it included. */
export interface Sensitivities {
  /** Dioptres per mm of measured axial length. */
  readonly axialLength: number
  /** Dioptres per dioptre of keratometry. */
  readonly keratometry: number
  /** Dioptres per mm of anterior chamber depth; zero for a formula that does not use it. */
  readonly anteriorChamberDepth: number
  /** Dioptres per mm of effective lens position. */
  readonly lensPosition: number
  /** Dioptres per dioptre of lens power. */
  readonly lensPower: number
}

const STEP = 1e-4
/** Slopes that differ by more than this from one side of an eye to the other are a jump of the formula, D per unit. */
const JUMP = 2
/** Wide enough that a jump hardly shows in the slope over it. */
const AROUND = 0.05

/**
 * Sensitivities of the refraction that one formula predicts for one lens.
 *
 * - Domain: where the formula is defined. At the threshold of a length adjustment, and where a formula itself jumps (Hoffer Q
 *   by 0.001 mm of position at 23 mm, SRK/T by as much at 24.2), the step is no slope: the side is taken on which the eye lies.
 * - Source: central differences through the published equations, and `thinLensPartials`.
 *
 * @param formula which formula
 * @param eye measurements of the eye
 * @param constants constants of the lens
 * @param options length adjustment and what it needs
 * @param power lens power, dioptres, signed
 * @param here what `evaluate` says of just these, where that is known already
 */
export function sensitivitiesOf(
  formula: FormulaId,
  eye: EyeMeasurements,
  constants: LensConstants,
  options: EvaluationOptions,
  power: Dioptres,
  here: Outcome<Evaluation> = evaluate(formula, eye, constants, options),
): Outcome<Sensitivities> {
  if (here.kind !== 'computed') return here
  const centre = here.value.refractionFor(power)
  const slope = (moved: (by: number) => EyeMeasurements): number => {
    const at = (by: number): number | undefined => {
      const outcome = evaluate(formula, moved(by), constants, options)
      return outcome.kind === 'computed' ? outcome.value.refractionFor(power) : undefined
    }
    const [before, after] = [at(-STEP), at(STEP)]
    if (before === undefined) return after === undefined ? Number.NaN : (after - centre) / STEP
    if (after === undefined) return (centre - before) / STEP
    const [below, above] = [(centre - before) / STEP, (after - centre) / STEP]
    if (!(Math.abs(above - below) > JUMP)) return (after - before) / (2 * STEP)
    const wide = ((at(AROUND) ?? centre) - (at(-AROUND) ?? centre)) / (2 * AROUND)
    return Math.abs(below - wide) < Math.abs(above - wide) ? below : above
  }
  const { anteriorChamberDepth: depth } = eye
  const { opticalLength, cornealPower, effectiveLensPosition } = here.value
  const partials = thinLensPartials(opticalLength, cornealPower, effectiveLensPosition, power)
  return computed({
    axialLength: slope((by) => ({ ...eye, axialLength: mm(eye.axialLength + by) })),
    keratometry: slope((by) => ({ ...eye, keratometry: dioptres(eye.keratometry + by) })),
    anteriorChamberDepth: depth === undefined ? 0 : slope((by) => ({ ...eye, anteriorChamberDepth: mm(depth + by) })),
    lensPosition: partials.perPosition,
    lensPower: partials.perPower,
  })
}
