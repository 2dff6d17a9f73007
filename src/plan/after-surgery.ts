import { evaluate } from '../optics/formulas.js'
import { exchangePower, secondaryPower } from '../optics/secondary-power.js'
import { thinLensPartials } from '../optics/sensitivity.js'
import { AQUEOUS, refractionAtCornea, VERTEX_DISTANCE } from '../optics/vergence.js'
import type { Eye } from '../terms/eye.js'
import { firstOutside, type Outcome, type OutsideDomain } from '../terms/outcome.js'
import { lensPower, refraction } from '../terms/power.js'
import type { Source } from '../terms/source.js'
import { type Dioptres, dioptres, type Millimetres, mm } from '../terms/units.js'
import type { WorkingRecord } from '../terms/working.js'
import { type Cause, causesOf } from './surprise-causes.js'

/** An eye after surgery, with what was expected of it. Refractions are spherical equivalents at the spectacle plane. */
export interface OperatedEye {
  readonly eye: Eye
  /** Power of the lens that was implanted, dioptres, signed. */
  readonly implantedD: number
  /** Refraction predicted for that lens, dioptres. */
  readonly predictedD: number
  /** Refraction found, stable, dioptres. */
  readonly achievedD: number
  /** Mean keratometry at index 1.3375, dioptres, measured after surgery. */
  readonly keratometryD: number
  /** Refraction wanted now, dioptres; the predicted one when not stated. */
  readonly wantedD?: number | undefined
  /** Where the lens stands, mm behind the cornea: stated, or from axial length and A-constant. */
  readonly position: LensPositionGiven
  /** Where an added lens would stand, mm behind the cornea; without it none is computed. */
  readonly addedLensPositionMm?: number | undefined
}

export type LensPositionGiven =
  | { readonly kind: 'stated'; readonly lensPositionMm: number }
  | { readonly kind: 'from-constants'; readonly axialLengthMm: number; readonly aConstant: number }

/** How much of one error alone would explain the surprise. */
export interface Equivalent {
  readonly quantity: 'axial length' | 'keratometry' | 'lens position' | 'lens power'
  /** By how much the true value would have to differ from the one taken; signed. */
  readonly amount: number
  readonly unit: 'mm' | 'D'
  readonly words: string
}

export interface Surprise {
  readonly eye: Eye
  /** Achieved less predicted, dioptres; positive is hyperopic. */
  readonly errorD: number
  readonly direction: 'hyperopic' | 'myopic' | 'within'
  readonly words: string
  readonly lensPositionMm: number
  readonly equivalents: readonly Equivalent[]
  readonly causes: readonly Cause[]
  /** Power of the lens to put in its place. */
  readonly exchange: Computed
  /** Power of a lens to add; absent when its position was not stated. */
  readonly added?: Computed
  readonly caveats: readonly string[]
}

export interface Computed {
  readonly powerD?: number
  readonly words: string
  readonly working?: WorkingRecord
}

/** Powers that are made, and refractions as the method takes them. */
const EXPECTED = {
  'implanted power': { low: -30, high: 60, unit: 'D' },
  'predicted refraction': { low: -35, high: 25, unit: 'D' },
}

/** Below this an error is no surprise; this project's own limit, dioptres. */
const SURPRISE_FROM_D = 0.5

const METHOD: Source = {
  cite: 'Holladay JT. Refractive power calculations for intraocular lenses in the phakic eye. Am J Ophthalmol 1993;116:63-66',
  year: 1993,
  sureness: 'memory',
}

/**
 * Explains a refractive surprise and gives the power to exchange the lens for, or to add, from the refraction alone.
 *
 * - Domain: keratometry 30 to 60 D, refractions -35 to +25 D, a stable refraction in an eye whose lens is where it was put.
 *   No axial length enters the powers, unless the position is asked from constants.
 * - Source: Holladay JT. Am J Ophthalmol 1993;116:63-66; equivalents by the partial derivatives of the thin-lens equation.
 */
export function explainSurprise(given: OperatedEye): Surprise | OutsideDomain {
  const outside = firstOutside({ 'implanted power': given.implantedD, 'predicted refraction': given.predictedD }, EXPECTED)
  if (outside) return outside
  const position = positionOf(given)
  if (position.kind !== 'computed') return position
  const lensPosition = position.value
  const wanted = dioptres(given.wantedD ?? given.predictedD)
  const eye = {
    keratometry: dioptres(given.keratometryD),
    refraction: dioptres(given.achievedD),
    wanted,
    lensPosition,
  }
  const exchanged = exchangePower(dioptres(given.implantedD), eye)
  if (exchanged.kind !== 'computed') return exchanged
  const errorD = given.achievedD - given.predictedD
  const direction = Math.abs(errorD) < SURPRISE_FROM_D ? 'within' : errorD > 0 ? 'hyperopic' : 'myopic'
  const added =
    given.addedLensPositionMm === undefined ? undefined : secondaryPower({ ...eye, lensPosition: mm(given.addedLensPositionMm) })
  return {
    eye: given.eye,
    errorD,
    direction,
    words: wordsOf(errorD, direction, given),
    lensPositionMm: lensPosition,
    equivalents: direction === 'within' ? [] : equivalentsOf(given, lensPosition, errorD),
    causes: causesOf(direction, Math.sign(given.implantedD)),
    exchange: asComputed(exchanged, 'exchange for', eye, given.implantedD),
    ...(added
      ? { added: asComputed(added, 'or add', { ...eye, lensPosition: mm(given.addedLensPositionMm ?? Number.NaN) }) }
      : {}),
    caveats: [
      'Only for a stable refraction: exclude corneal oedema, macular disease and an error of refraction first.',
      'An exchanged lens of another kind stands elsewhere: compute it by its own position.',
      ...(given.position.kind === 'from-constants'
        ? ['The position is the one a formula predicts (Holladay 1, no length adjustment), not a measured one.']
        : []),
    ],
  }
}

function wordsOf(errorD: number, direction: Surprise['direction'], { predictedD, achievedD }: OperatedEye): string {
  const told = `Predicted ${refraction(predictedD)}, found ${refraction(achievedD)}: ${refraction(errorD)}`
  return direction === 'within'
    ? `${told}, less than ${SURPRISE_FROM_D.toFixed(2)} D from the prediction: no surprise to explain`
    : `${told}, a ${direction} surprise`
}

function positionOf({ position, keratometryD }: OperatedEye): Outcome<Millimetres> {
  if (position.kind === 'stated') return { kind: 'computed', value: mm(position.lensPositionMm) }
  const eye = { axialLength: mm(position.axialLengthMm), keratometry: dioptres(keratometryD) }
  const outcome = evaluate('holladay-1', eye, { aConstant: position.aConstant }, { adjustment: 'none' })
  return outcome.kind === 'computed' ? { kind: 'computed', value: outcome.value.effectiveLensPosition } : outcome
}

/** The optical length that makes the implanted lens leave what was found. */
function opticalLengthOf({ implantedD, achievedD, keratometryD }: OperatedEye, lensPosition: Millimetres): Millimetres {
  const behindCornea = keratometryD + refractionAtCornea(dioptres(achievedD))
  const atLens = AQUEOUS / (AQUEOUS / behindCornea - lensPosition)
  return mm(lensPosition + AQUEOUS / (implantedD + atLens))
}

/** Less than this much change of refraction per mm of position explains nothing, D/mm. */
const POSITION_MATTERS_FROM = 0.1

function equivalentsOf(given: OperatedEye, lensPosition: Millimetres, errorD: number): Equivalent[] {
  const [cornea, lens] = [dioptres(given.keratometryD), dioptres(given.implantedD)]
  const partials = thinLensPartials(opticalLengthOf(given, lensPosition), cornea, lensPosition, lens)
  const row = (
    quantity: Equivalent['quantity'],
    per: number,
    unit: 'mm' | 'D',
    said: (size: string, more: boolean) => string,
  ) => {
    const amount = errorD / per
    return { quantity, amount, unit, words: said(`${Math.abs(amount).toFixed(2)} ${unit}`, amount > 0) }
  }
  return [
    row('axial length', partials.perLength, 'mm', (size, more) => `the eye ${size} ${more ? 'longer' : 'shorter'} than measured`),
    row(
      'keratometry',
      partials.perCornea,
      'D',
      (size, more) => `the cornea ${size} ${more ? 'steeper' : 'flatter'} than measured`,
    ),
    ...(Math.abs(partials.perPosition) < POSITION_MATTERS_FROM
      ? []
      : [
          row(
            'lens position',
            partials.perPosition,
            'mm',
            (size, more) => `the lens ${size} ${more ? 'deeper' : 'further forward'} than predicted`,
          ),
        ]),
    row(
      'lens power',
      partials.perPower,
      'D',
      (size, more) => `the lens ${size} ${more ? 'stronger' : 'weaker'} (more ${more ? 'plus' : 'minus'}) than its label`,
    ),
  ]
}

function asComputed(
  outcome: Outcome<Dioptres>,
  verb: string,
  eye: Parameters<typeof secondaryPower>[0],
  implantedD?: number,
): Computed {
  if (outcome.kind !== 'computed') return { words: outcome.reason }
  const power = outcome.value
  return {
    powerD: power,
    words: `${verb} ${lensPower(Math.round(power * 100) / 100)} (not rounded to a step) to leave ${refraction(eye.wanted)}`,
    working: {
      inputs: [
        ...(implantedD === undefined ? [] : [{ name: 'implanted power', value: implantedD, unit: 'D' }]),
        { name: 'keratometry', value: eye.keratometry, unit: 'D' },
        { name: 'refraction found', value: eye.refraction, unit: 'D' },
        { name: 'refraction wanted', value: eye.wanted, unit: 'D' },
        { name: 'lens position', value: eye.lensPosition, unit: 'mm' },
        { name: 'vertex distance', value: VERTEX_DISTANCE, unit: 'mm' },
      ],
      steps: [{ name: 'power', value: power, unit: 'D' }],
      equation: `P = ${implantedD === undefined ? '' : 'implanted + '}1336/(1336/(K + R found) - d) - 1336/(1336/(K + R wanted) - d), R at the cornea`,
      source: METHOD,
    },
  }
}
