import type { FormulaId } from '../terms/formulas.js'
import { firstOutside, type Outcome, type OutsideDomain, type Range } from '../terms/outcome.js'
import type { Coefficient, PublishedModel } from '../terms/published-model.js'
import type { Source } from '../terms/source.js'
import type { Dioptres, Millimetres } from '../terms/units.js'
import type { WorkingRecord } from '../terms/working.js'
import { noAnswer } from './no-answer.js'

/** What the formulas take from the eye. Keratometry is at index 1.3375; the depth is from the epithelium. */
export interface EyeMeasurements {
  readonly axialLength: Millimetres
  readonly keratometry: Dioptres
  readonly anteriorChamberDepth?: Millimetres | undefined
}

export interface HaigisConstants {
  readonly a0: Millimetres
  readonly a1: number
  readonly a2: number
}

/** What is known of the lens. A constant that a formula lacks is converted from the A-constant, and that is flagged. */
export interface LensConstants {
  readonly aConstant?: number | undefined
  readonly surgeonFactor?: Millimetres | undefined
  readonly personalisedAcd?: Millimetres | undefined
  readonly haigis?: HaigisConstants | undefined
}

export interface Flag {
  readonly code: string
  readonly words: string
}

/** An eye reduced to a cornea, a thin lens and a retina, as one formula sees it. */
export interface ThinLensEye {
  readonly opticalLength: Millimetres
  readonly cornealPower: Dioptres
  readonly effectiveLensPosition: Millimetres
  /** What went in besides the eye, and what was computed on the way; made when asked for. */
  readonly working: () => Pick<WorkingRecord, 'inputs' | 'steps'>
  readonly flags: readonly Flag[]
  /** Why the answer must not be used beside the others although there is a number. */
  readonly setAside?: string | undefined
}

/** One published lens-power formula. */
export interface LensFormula {
  readonly id: FormulaId
  readonly published: PublishedModel
  /** What is known to have been corrected since it was printed. */
  readonly erratum: string
  readonly equation: string
  readonly constantsNeeded: readonly (keyof LensConstants)[]
  readonly solve: (eye: EyeMeasurements, constants: LensConstants) => Outcome<ThinLensEye>
}

/** The numbers of one model, each as sure as its source unless it says otherwise. */
export const coefficientsOf = (
  source: Source,
  rows: readonly (readonly [name: string, value: number, unit?: string, note?: string])[],
): readonly Coefficient[] =>
  rows.map(([name, value, unit, note]) => ({
    name,
    value,
    sureness: source.sureness,
    ...(unit ? { unit } : {}),
    ...(note ? { note } : {}),
  }))

/**
 * The range in which the formulas are computed at all: an eye outside it is a slip of the pen before it is an eye.
 * The tangent of the corneal power in one formula means nothing towards 90 D.
 */
export const COMPUTED_RANGE = {
  'axial length': { low: 15, high: 40, unit: 'mm' },
  keratometry: { low: 30, high: 60, unit: 'D' },
} as const satisfies Record<string, Range>

export const A_CONSTANT_RANGE: Range = { low: 95, high: 130, unit: '' }

/** A formula was asked without a constant or measurement that it needs. */
export const lacking = (formula: string, what: string, unit: string) =>
  noAnswer(what, Number.NaN, unit, `${formula} needs the ${what}, which was not given.`)

/** A lens must stand behind the cornea and in front of the retina. */
export const misplaced = (formula: string, position: Millimetres, opticalLength: Millimetres) =>
  position > 0 && position < opticalLength
    ? undefined
    : noAnswer(
        'effective lens position',
        position,
        'mm',
        `${formula} puts the lens at ${position.toFixed(2)} mm, which is not inside an eye of ${opticalLength.toFixed(2)} mm.`,
        0,
        opticalLength,
      )

/** A constant was taken from the A-constant for want of the formula's own. */
const convertedFromA = (name: string, value: number, aConstant: number): Flag => ({
  code: 'constant-converted',
  words: `${name} ${value.toFixed(3)} mm converted from A ${aConstant}, not optimised for this formula`,
})

/** The one constant of a formula beside the A-constant: what it is called, where it may lie, how it follows from A. */
export interface OwnConstant {
  readonly formula: string
  readonly name: string
  /** Of the eye and of the constant under its name. */
  readonly domain: Readonly<Record<string, Range>>
  readonly fromA: (aConstant: number) => Millimetres
}

/** A formula's own constant, or the one that belongs to the A-constant, with the flag that says so; checked with the eye. */
export function ownConstant(
  { formula, name, domain, fromA }: OwnConstant,
  own: Millimetres | undefined,
  { axialLength, keratometry }: EyeMeasurements,
  { aConstant }: LensConstants,
): { readonly value: Millimetres; readonly flags: Flag[] } | OutsideDomain {
  const value = own ?? (aConstant === undefined ? undefined : fromA(aConstant))
  if (value === undefined) return lacking(formula, name, 'mm')
  const outside = firstOutside({ 'axial length': axialLength, keratometry, [name]: value }, domain)
  if (outside) return outside
  return { value, flags: own === undefined && aConstant !== undefined ? [convertedFromA(name, value, aConstant)] : [] }
}
