import { haigisCornealPower } from '../optics/haigis.js'
import type { HaigisConstants } from '../optics/lens-formula.js'
import { lensPositionFrom } from '../optics/vergence.js'
import { dioptres, mm } from '../terms/units.js'
import { LEAST_POWER_D, type LeftOut, type LensGroup, LONG_FROM_MM, predictedWith } from './eyes-for-constants.js'
import type { ImplantedEye } from './lesson.js'
import { type PlaneFit, planeThrough } from './plane-fit.js'
import { type Estimate, meanOf } from './statistics.js'

/** Three constants need this many eyes of one lens (published practice, the number from memory). */
export const FEWEST_FOR_THREE_CONSTANTS = 200
/** Standard deviations below which depth and length say too little of their own, mm. Our own limits. */
const LEAST_SPREAD_MM = { 'anterior chamber depth': 0.2, 'axial length': 0.6 } as const

export interface HaigisProposal {
  readonly lensLabel: string
  readonly lengthKind: LensGroup['lengthKind']
  readonly eyes: number
  readonly leftOut: readonly LeftOut[]
  readonly proposed?: {
    readonly a0: Estimate
    readonly a1: Estimate
    readonly a2: Estimate
    /** What the mean error of these eyes would be with them, dioptres. */
    readonly meanErrorAfterD: number
  }
  readonly refused?: string
}

interface BackCalculated {
  readonly implanted: ImplantedEye
  readonly depthMm: number
  readonly lengthMm: number
  readonly positionMm: number
}

/**
 * The three Haigis constants: the lens position that explains each refraction, regressed on chamber depth and length.
 *
 * - Domain: lenses of at least 5 D, plus or minus; lengths up to 25 mm, as measured; at least
 *   `FEWEST_FOR_THREE_CONSTANTS` eyes of one lens measured in one way, spread over depth and length.
 * - Source: Haigis W, in Shammas HJ (ed). Intraocular Lens Power Calculations. Thorofare: Slack; 2004 (from memory).
 */
export function proposeHaigis(group: LensGroup): HaigisProposal {
  const { used, leftOut } = backCalculated(group)
  const shared = { lensLabel: group.lensLabel, lengthKind: group.lengthKind, eyes: used.length, leftOut }
  if (used.length < FEWEST_FOR_THREE_CONSTANTS) {
    return { ...shared, refused: `${used.length} usable eyes; ${FEWEST_FOR_THREE_CONSTANTS} are the fewest for three constants` }
  }
  const fit = planeThrough(used.map(({ depthMm, lengthMm, positionMm }) => ({ x: depthMm, z: lengthMm, y: positionMm })))
  const narrow = fit && tooNarrow(fit)
  if (!fit) return { ...shared, refused: 'depth and length go together in these eyes, so that their parts cannot be told apart' }
  if (narrow !== undefined) return { ...shared, refused: narrow }
  const constants: HaigisConstants = { a0: mm(fit.intercept.value), a1: fit.alongX.value, a2: fit.alongZ.value }
  const errors = used.map(
    ({ implanted }) => implanted.achievedD - (predictedWith('haigis', implanted, { haigis: constants }, 'none') ?? Number.NaN),
  )
  const meanErrorAfterD = meanOf(errors)
  if (!Number.isFinite(meanErrorAfterD)) return { ...shared, refused: 'the constants found put a lens outside an eye' }
  return { ...shared, proposed: { a0: fit.intercept, a1: fit.alongX, a2: fit.alongZ, meanErrorAfterD } }
}

function tooNarrow({ spreadX, spreadZ }: PlaneFit): string | undefined {
  const spread = { 'anterior chamber depth': spreadX, 'axial length': spreadZ }
  for (const name of ['anterior chamber depth', 'axial length'] as const) {
    if (spread[name] < LEAST_SPREAD_MM[name]) {
      return `the ${name} of these eyes varies too little (standard deviation ${spread[name].toFixed(2)} mm; ${LEAST_SPREAD_MM[name]} mm is the least)`
    }
  }
  return undefined
}

function backCalculated(group: LensGroup): { readonly used: readonly BackCalculated[]; readonly leftOut: readonly LeftOut[] } {
  const used: BackCalculated[] = []
  const reasons = new Map<string, number>()
  for (const implanted of group.eyes) {
    const outcome = positionOf(implanted)
    if ('because' in outcome) reasons.set(outcome.because, (reasons.get(outcome.because) ?? 0) + 1)
    else used.push(outcome)
  }
  return { used, leftOut: [...reasons].map(([because, eyes]) => ({ because, eyes })) }
}

function positionOf(implanted: ImplantedEye): BackCalculated | { readonly because: string } {
  const { eye, powerD, achievedD } = implanted
  if (!(Math.abs(powerD) >= LEAST_POWER_D)) return { because: `lens between −${LEAST_POWER_D} and +${LEAST_POWER_D} D` }
  if (eye.axialLength > LONG_FROM_MM) return { because: `over ${LONG_FROM_MM} mm: the length as measured does not hold` }
  if (eye.anteriorChamberDepth === undefined) return { because: 'anterior chamber depth not known' }
  const cornea = haigisCornealPower(eye.keratometry)
  const position = lensPositionFrom(eye.axialLength, cornea, dioptres(powerD), dioptres(achievedD))
  if (position.kind !== 'computed') return { because: 'no lens position explains the refraction' }
  return { implanted, depthMm: eye.anteriorChamberDepth, lengthMm: eye.axialLength, positionMm: position.value }
}
