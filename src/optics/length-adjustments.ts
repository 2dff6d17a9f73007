import { fault } from '../terms/fault.js'
import { ADJUSTMENT_NAMES, type AdjustmentId, type FormulaId } from '../terms/formulas.js'
import { computed, type Outcome } from '../terms/outcome.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { Source } from '../terms/source.js'
import { type Millimetres, mm } from '../terms/units.js'
import { coefficientsOf, type Flag, lacking } from './lens-formula.js'
import { noAnswer } from './no-answer.js'

/**
 * What the length is: measured with one group index, added up from segments by the instrument, or by ultrasound.
 * The published adjustments were fitted to lengths of the first kind and hold for no other.
 */
export type LengthKind = 'group-index' | 'sum-of-segments' | 'ultrasound'

/** A length after at most one adjustment. */
export interface AdjustedLength {
  readonly axialLength: Millimetres
  readonly adjustment: AdjustmentId
  readonly flags: readonly Flag[]
  readonly setAside?: string
  readonly source?: Source
}

interface Line {
  readonly slope: number
  readonly offset: number
  readonly above: Millimetres
}

const source2011: Source = {
  cite: 'Wang L, Shirayama M, Ma XJ, Kohnen T, Koch DD. Optimizing intraocular lens power calculations in eyes with axial lengths above 25.0 mm. J Cataract Refract Surg 2011;37:2018-2027',
  year: 2011,
  sureness: 'memory',
}
const source2018: Source = {
  cite: 'Wang L, Koch DD. Modified axial length adjustment formulas in long eyes. J Cataract Refract Surg 2018;44:1396-1397',
  year: 2018,
  sureness: 'memory',
}
const source2019: Source = {
  cite: 'Cooke DL, Cooke TL. Approximating sum-of-segments axial length from a traditional optical low-coherence reflectometry measurement. J Cataract Refract Surg 2019;45:351-354',
  year: 2019,
  sureness: 'memory',
}

/** Two-centre regressions. None was published for T2. */
const LINES_2011: Readonly<Partial<Record<FormulaId, Line>>> = {
  'srk-t': { slope: 0.8544, offset: 3.7222, above: mm(25) },
  'holladay-1': { slope: 0.8289, offset: 4.2663, above: mm(25) },
  'hoffer-q': { slope: 0.853, offset: 3.5794, above: mm(25) },
  haigis: { slope: 0.9286, offset: 1.562, above: mm(25) },
}
const LINES_2018: Readonly<Partial<Record<FormulaId, Line>>> = {
  'srk-t': { slope: 0.8453, offset: 4.0773, above: mm(27) },
  'holladay-1': { slope: 0.817, offset: 4.7013, above: mm(26.5) },
}
const COOKE_OFFSET = 1.23853
const COOKE_PER_LENGTH = 0.95855
const COOKE_PER_LENS = -0.05467
const COOKE_FORMULAS: readonly FormulaId[] = ['srk-t', 'holladay-1', 'hoffer-q', 'haigis']

/** The lines jump at their threshold, so that within this much above it the plan shows both values. */
const NEAR_THRESHOLD = mm(1)

const lineOf = (adjustment: AdjustmentId, formula: FormulaId): Line | undefined => {
  if (adjustment === 'wang-koch-2011') return LINES_2011[formula]
  if (adjustment === 'wang-koch-2018') return LINES_2018[formula]
  return undefined
}

/**
 * The published adjustments that were made for a formula and hold for a length. The unadjusted length always does.
 *
 * @example
 * ```ts
 * adjustmentsFor('srk-t', mm(26.8)) // => ['wang-koch-2011', 'cooke-2019']
 * ```
 * @param formula formula that the length is fed to
 * @param axialLength mm, as measured
 * @param kind how the length was measured
 */
export function adjustmentsFor(
  formula: FormulaId,
  axialLength: Millimetres,
  kind: LengthKind = 'group-index',
): readonly AdjustmentId[] {
  if (kind !== 'group-index') return []
  const lines = (['wang-koch-2011', 'wang-koch-2018'] as const).filter((adjustment) => {
    const line = lineOf(adjustment, formula)
    return line !== undefined && axialLength > line.above
  })
  return COOKE_FORMULAS.includes(formula) ? [...lines, 'cooke-2019'] : lines
}

/**
 * Axial length of a long eye after the two-centre regressions of 2011.
 *
 * - Domain: optical length above 25.0 mm, constants for optical biometry. At 25 mm the lines do not meet the measured
 *   length: they step by -0.01 (Holladay 1), +0.08 (SRK/T), -0.10 (Hoffer Q) and -0.22 mm (Haigis).
 * - Source: Wang L et al. J Cataract Refract Surg 2011;37:2018-2027. Erratum: none known.
 *
 * @example
 * ```ts
 * axialLength2011('holladay-1', mm(30)) // => { kind: 'computed', value: 29.1333 }
 * ```
 * @param formula formula that the length is fed to
 * @param axialLength mm, as measured
 */
export const axialLength2011 = (formula: FormulaId, axialLength: Millimetres): Outcome<Millimetres> =>
  along('wang-koch-2011', formula, axialLength)

/**
 * Axial length of a long eye after the regressions of 2018, for Holladay 1 (above 26.5 mm) and SRK/T (above 27.0 mm) only.
 *
 * - Source: Wang L, Koch DD. J Cataract Refract Surg 2018;44:1396-1397. Erratum: none known.
 *
 * @example
 * ```ts
 * axialLength2018('srk-t', mm(30)) // => { kind: 'computed', value: 29.4363 }
 * ```
 * @param formula formula that the length is fed to
 * @param axialLength mm, as measured
 */
export const axialLength2018 = (formula: FormulaId, axialLength: Millimetres): Outcome<Millimetres> =>
  along('wang-koch-2018', formula, axialLength)

function along(adjustment: AdjustmentId, formula: FormulaId, axialLength: Millimetres): Outcome<Millimetres> {
  const line = lineOf(adjustment, formula)
  if (line === undefined) {
    return noAnswer('axial length', axialLength, 'mm', `This length adjustment was not published for this formula (${formula}).`)
  }
  if (!(axialLength > line.above && axialLength <= 40)) {
    const reason = `This length adjustment holds above ${line.above.toFixed(1)} mm; the eye measures ${axialLength.toFixed(2)} mm.`
    return noAnswer('axial length', axialLength, 'mm', reason, line.above, 40)
  }
  return computed(mm(line.slope * axialLength + line.offset))
}

/**
 * Sum-of-segments axial length estimated from a length measured with one group index.
 *
 * - Domain: any optical length of the group-index kind; never on a length that is already a sum of segments. The lens
 *   constants must be optimised again for it.
 * - Source: Cooke DL, Cooke TL. J Cataract Refract Surg 2019;45:351-354. Erratum: none known.
 *
 * @example
 * ```ts
 * axialLengthCooke(mm(30), mm(4.5)) // => 29.749015
 * ```
 * @param axialLength mm, as measured
 * @param lensThickness mm
 * @returns mm
 */
export const axialLengthCooke = (axialLength: Millimetres, lensThickness: Millimetres): Millimetres =>
  mm(COOKE_OFFSET + COOKE_PER_LENGTH * axialLength + COOKE_PER_LENS * lensThickness)

/**
 * Applies one published adjustment to a measured length.
 *
 * @param adjustment which
 * @param formula formula that the length is fed to
 * @param measured mm, as measured
 * @param kind how it was measured
 * @param lensThickness mm; only the sum-of-segments estimate needs it
 * @throws Error `OPTICS.ADJUSTMENT_ON_ADJUSTMENT` when an adjustment is asked on a length that is already a sum of segments
 */
export function adjustLength(
  adjustment: AdjustmentId,
  formula: FormulaId,
  measured: Millimetres,
  kind: LengthKind = 'group-index',
  lensThickness?: Millimetres,
): Outcome<AdjustedLength> {
  if (adjustment === 'none') return computed({ axialLength: measured, adjustment, flags: [] })
  if (kind === 'sum-of-segments') {
    throw fault(
      'OPTICS.ADJUSTMENT_ON_ADJUSTMENT',
      `${adjustment} was asked on a length that is already a sum of segments; ask for "none".`,
    )
  }
  if (kind === 'ultrasound') {
    return noAnswer(
      'axial length',
      measured,
      'mm',
      'The published length adjustments were fitted to optical lengths; this one is by ultrasound.',
    )
  }
  if (adjustment === 'cooke-2019') return cooke(formula, measured, lensThickness)

  const outcome = along(adjustment, formula, measured)
  if (outcome.kind !== 'computed') return outcome
  const axialLength = outcome.value
  const flags: Flag[] = []
  const above = lineOf(adjustment, formula)?.above ?? measured
  if (measured - above < NEAR_THRESHOLD) {
    flags.push({
      code: 'adjustment-near-threshold',
      words: `the adjustment begins at ${above.toFixed(1)} mm with a step: compare with the row without it`,
    })
  }
  if (axialLength > measured) {
    flags.push({ code: 'adjustment-lengthens', words: 'so close to its threshold this adjustment lengthens the eye' })
  }
  const source = adjustment === 'wang-koch-2011' ? source2011 : source2018
  return computed({ axialLength, adjustment, flags, source })
}

function cooke(formula: FormulaId, measured: Millimetres, lensThickness?: Millimetres): Outcome<AdjustedLength> {
  if (!COOKE_FORMULAS.includes(formula)) {
    return noAnswer('axial length', measured, 'mm', `The sum-of-segments length was not published for this formula (${formula}).`)
  }
  if (lensThickness === undefined) return lacking('The sum-of-segments length', 'lens thickness', 'mm')
  if (!(lensThickness >= 1 && lensThickness <= 8)) {
    const reason = `lens thickness ${lensThickness} mm is outside 1 to 8 mm`
    return noAnswer('lens thickness', lensThickness, 'mm', reason, 1, 8)
  }
  const words = 'the sum-of-segments length counts only with lens constants optimised for it'
  return computed({
    axialLength: axialLengthCooke(measured, lensThickness),
    adjustment: 'cooke-2019',
    flags: [{ code: 'segments-constants-not-optimised', words }],
    setAside: words,
    source: source2019,
  })
}

const linesOf = (source: Source, lines: Readonly<Partial<Record<FormulaId, Line>>>) =>
  coefficientsOf(
    source,
    (Object.keys(lines) as FormulaId[]).flatMap((formula) => {
      const { slope, offset, above } = lines[formula] ?? { slope: Number.NaN, offset: Number.NaN, above: Number.NaN }
      return [
        [`${formula}, slope`, slope],
        [`${formula}, offset`, offset, 'mm'],
        [`${formula}, above`, above, 'mm'],
      ] as const
    }),
  )

const adjustmentModel = (
  id: AdjustmentId,
  population: string,
  source: Source,
  coefficients: PublishedModel['coefficients'],
): PublishedModel => ({
  id,
  about: 'axial length of a long eye',
  model: ADJUSTMENT_NAMES[id],
  population,
  years: `before ${source.year}`,
  source,
  coefficients,
})

/** The three adjustments with their numbers. */
export const lengthAdjustmentModels: readonly PublishedModel[] = [
  adjustmentModel('wang-koch-2011', 'eyes over 25 mm, two centres', source2011, linesOf(source2011, LINES_2011)),
  adjustmentModel('wang-koch-2018', 'long eyes', source2018, linesOf(source2018, LINES_2018)),
  adjustmentModel(
    'cooke-2019',
    'eyes measured by optical low-coherence reflectometry',
    source2019,
    coefficientsOf(source2019, [
      ['offset', COOKE_OFFSET, 'mm'],
      ['per mm of length', COOKE_PER_LENGTH],
      ['per mm of lens thickness', COOKE_PER_LENS],
    ]),
  ),
]
