import { haigisStartFromA, personalisedAcdFromA, surgeonFactorFromA } from '../optics/lens-constants.js'
import type { HaigisConstants, LensConstants } from '../optics/lens-formula.js'
import type { AdjustmentId, FormulaId } from '../terms/formulas.js'
import { mm } from '../terms/units.js'
import { type LeftOut, type LensGroup, predictedWith, usableFor } from './eyes-for-constants.js'
import type { ImplantedEye } from './lesson.js'
import { type Estimate, meanEstimate, meanOf, standardDeviation } from './statistics.js'

/** A constant that would bring the mean error of past eyes to zero: for a person to consider, never applied on its own. */
export interface ConstantProposal {
  readonly formula: FormulaId
  readonly constant: 'A' | 'SF' | 'pACD' | 'a0'
  readonly lensLabel: string
  readonly lengthKind: LensGroup['lengthKind']
  /** How many eyes it stands on. */
  readonly eyes: number
  /** How many of them by an adjusted length. */
  readonly longEyes: number
  readonly leftOut: readonly LeftOut[]
  /** The constant that the newest of these plans was computed with. */
  readonly present?: number
  /** The formula had no constant of its own: `present` was converted from the A-constant. */
  readonly converted?: boolean
  readonly proposed?: ProposedConstant
  /** Why nothing is proposed. */
  readonly refused?: string
}

export interface ProposedConstant extends Estimate {
  /** Errors with the present constant, dioptres. */
  readonly meanErrorBeforeD: number
  readonly spreadBeforeD: number
  readonly spreadAfterD: number
  /** Whether zero lies outside the 95 % interval of the mean error with the present constant. */
  readonly differs: boolean
}

/** Below this a personal constant follows chance. Common practice, no source; the interval says what it is worth. */
export const FEWEST_FOR_ONE_CONSTANT = 30

const NAMES = { 'srk-t': 'A', t2: 'A', 'holladay-1': 'SF', 'hoffer-q': 'pACD', haigis: 'a0' } as const satisfies Record<
  FormulaId,
  ConstantProposal['constant']
>

/** Its a1 and a2 do not depend on the A-constant. */
const STANDARD = haigisStartFromA(118)

/** Step of the numerical slope, in units of the constant. */
const STEP = 0.01
const ROUNDS = 50
const SETTLED = 1e-9

interface UsedEye {
  readonly implanted: ImplantedEye
  readonly adjustment: AdjustmentId
}

/** Constants of one lens with the one of a formula replaced. `slopes` are kept where only a0 is fitted. */
type WithConstant = (value: number) => LensConstants

function startOf(
  formula: FormulaId,
  group: LensGroup,
): { readonly present: number; readonly converted: boolean; readonly make: WithConstant } | undefined {
  const shown = group.eyes.at(-1)?.constants ?? []
  const value = (of: FormulaId, name: string) => shown.find((one) => one.formula === of && one.name === name)?.value
  const aConstant = value('srk-t', 'A')
  const own = value(formula === 't2' ? 'srk-t' : formula, NAMES[formula])
  const present = own ?? (aConstant === undefined ? undefined : fromA(formula, aConstant))
  if (present === undefined) return undefined
  const slopes: HaigisConstants = {
    a0: mm(present),
    a1: value('haigis', 'a1') ?? STANDARD.a1,
    a2: value('haigis', 'a2') ?? STANDARD.a2,
  }
  const makers: Readonly<Record<ConstantProposal['constant'], WithConstant>> = {
    A: (aConstantNow) => ({ aConstant: aConstantNow }),
    SF: (factor) => ({ surgeonFactor: mm(factor) }),
    pACD: (depth) => ({ personalisedAcd: mm(depth) }),
    a0: (a0) => ({ haigis: { ...slopes, a0: mm(a0) } }),
  }
  return { present, converted: own === undefined, make: makers[NAMES[formula]] }
}

function fromA(formula: FormulaId, aConstant: number): number {
  if (formula === 'holladay-1') return surgeonFactorFromA(aConstant)
  if (formula === 'hoffer-q') return personalisedAcdFromA(aConstant)
  if (formula === 'haigis') return haigisStartFromA(aConstant).a0
  return aConstant
}

/**
 * The value of one constant at which the mean error (achieved minus predicted) is zero, by Newton's method: the mean
 * error divided by the mean change of the predicted refraction with the constant, until it no longer moves.
 * A constant set so tilts the error against axial length, since its leverage falls with length.
 *
 * - Domain: lenses of at least 5 D, plus or minus; lengths up to 25 mm as measured, longer optical ones with the 2011
 *   adjustment; at least `FEWEST_FOR_ONE_CONSTANT` eyes of one lens measured in one way.
 * - Source: Retzlaff JA, Sanders DR, Kraff MC. J Cataract Refract Surg 1990;16:333-340; Gatinel D et al. Transl Vis Sci
 *   Technol 2023;12(11):11 (constants as an increment of lens position).
 */
export function proposeConstant(formula: FormulaId, group: LensGroup): ConstantProposal {
  const start = startOf(formula, group)
  const { used, leftOut } = sorted(formula, group, start?.make(start.present))
  const shared = {
    formula,
    constant: NAMES[formula],
    lensLabel: group.lensLabel,
    lengthKind: group.lengthKind,
    eyes: used.length,
    longEyes: used.filter(({ adjustment }) => adjustment !== 'none').length,
    leftOut,
    ...(start ? { present: start.present, converted: start.converted } : {}),
  }
  if (!start) return { ...shared, refused: 'no constant of this lens to start from' }
  if (used.length < FEWEST_FOR_ONE_CONSTANT) {
    return { ...shared, refused: `${used.length} usable eyes; ${FEWEST_FOR_ONE_CONSTANT} are the fewest for one constant` }
  }
  const value = zeroing(formula, used, start.make, start.present)
  const fitted = value === undefined ? undefined : figuresAt(formula, used, start.make, start.present, value)
  return fitted ? { ...shared, proposed: fitted } : { ...shared, refused: 'no value brings the mean error of these eyes to zero' }
}

function sorted(
  formula: FormulaId,
  group: LensGroup,
  constants: LensConstants | undefined,
): { readonly used: readonly UsedEye[]; readonly leftOut: readonly LeftOut[] } {
  const used: UsedEye[] = []
  const reasons = new Map<string, number>()
  for (const implanted of group.eyes) {
    const usable = usableFor(formula, implanted)
    const because =
      'because' in usable
        ? usable.because
        : constants !== undefined && predictedWith(formula, implanted, constants, usable.adjustment) === undefined
          ? 'the formula is undefined or set aside for the eye'
          : undefined
    if (because === undefined && 'adjustment' in usable) used.push({ implanted, adjustment: usable.adjustment })
    else if (because !== undefined) reasons.set(because, (reasons.get(because) ?? 0) + 1)
  }
  return { used, leftOut: [...reasons].map(([because, eyes]) => ({ because, eyes })) }
}

/** Errors of all eyes with one value of the constant; NaN in it where the value drives an eye out of the formula's domain. */
const errorsAt = (formula: FormulaId, used: readonly UsedEye[], constants: LensConstants): readonly number[] =>
  used.map(
    ({ implanted, adjustment }) => implanted.achievedD - (predictedWith(formula, implanted, constants, adjustment) ?? Number.NaN),
  )

/** How the mean predicted refraction changes with the constant. */
function slopeAt(formula: FormulaId, used: readonly UsedEye[], make: WithConstant, value: number): number {
  const mean = (at: number) => meanOf(errorsAt(formula, used, make(at)))
  return (mean(value - STEP) - mean(value + STEP)) / (2 * STEP)
}

function zeroing(formula: FormulaId, used: readonly UsedEye[], make: WithConstant, start: number): number | undefined {
  let value = start
  for (let round = 0; round < ROUNDS; round += 1) {
    const change = meanOf(errorsAt(formula, used, make(value))) / slopeAt(formula, used, make, value)
    if (!Number.isFinite(change)) return undefined
    value += change
    if (Math.abs(change) < SETTLED) return value
  }
  return undefined
}

function figuresAt(
  formula: FormulaId,
  used: readonly UsedEye[],
  make: WithConstant,
  present: number,
  value: number,
): ProposedConstant | undefined {
  const before = errorsAt(formula, used, make(present))
  const after = errorsAt(formula, used, make(value))
  const [meanBefore, meanAfter] = [meanEstimate(before), meanEstimate(after)]
  if (!meanBefore || !meanAfter) return undefined
  // The interval of the mean error, carried to the constant by the slope that the constant was found with.
  const half = Math.abs((meanAfter.high - meanAfter.value) / slopeAt(formula, used, make, value))
  return {
    value,
    low: value - half,
    high: value + half,
    meanErrorBeforeD: meanBefore.value,
    spreadBeforeD: standardDeviation(before),
    spreadAfterD: standardDeviation(after),
    differs: meanBefore.low > 0 || meanBefore.high < 0,
  }
}
