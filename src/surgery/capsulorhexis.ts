import { computed, firstOutside, type Outcome } from '../terms/outcome.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { SurgeryStatement } from '../terms/surgery-statement.js'
import { type Millimetres, mm } from '../terms/units.js'
import type { SurgeryInput } from './surgery-input.js'

export const OVERLAP_MM = 0.5
/** The usual optic; a lens with another optic changes the answer. */
export const USUAL_OPTIC_MM = 6
/** How far the upper end lies above the size that leaves the full overlap. */
const SLACK_MM = 0.5

export const CAPSULORHEXIS: PublishedModel = {
  id: 'capsulorhexis',
  about: 'Capsulorhexis',
  model: 'overlap of the optic all round',
  population: 'common practice; opacification compared in one cohort',
  years: 'common practice; 1999',
  source: {
    cite: 'common practice, no source; opacification: Hollick EJ, Spalton DJ, Meacock WR. Am J Ophthalmol 1999;128:271-279',
    sureness: 'convention',
  },
  coefficients: [
    { name: 'overlap on each side', value: OVERLAP_MM, unit: 'mm', sureness: 'convention' },
    { name: 'usual optic', value: USUAL_OPTIC_MM, unit: 'mm', sureness: 'convention' },
    { name: 'opacification, rhexis 4.5 to 5 mm', value: 32.7, unit: '%', sureness: 'secondary' },
    { name: 'opacification, rhexis 6 to 7 mm', value: 66.2, unit: '%', sureness: 'secondary' },
  ],
}

/**
 * Sizes of the capsulorhexis that leave the optic covered all round: from the full overlap of 0.5 mm to half of it.
 * @param optic diameter of the optic, 4.5–7.5 mm
 */
export function capsulorhexisSize(optic: Millimetres): Outcome<{ readonly low: Millimetres; readonly high: Millimetres }> {
  const outside = firstOutside({ optic }, { optic: { low: 4.5, high: 7.5, unit: 'mm' } })
  const low = optic - 2 * OVERLAP_MM
  return outside ?? computed({ low: mm(low), high: mm(low + SLACK_MM) })
}

/** About 5 mm for the usual optic; the upper end for a hard nucleus, which a small opening traps. */
export function capsulorhexisFigure({ nucleusBand }: SurgeryInput): SurgeryStatement {
  const base = { id: CAPSULORHEXIS.id, about: CAPSULORHEXIS.about, step: 'capsulorhexis', source: CAPSULORHEXIS.source } as const
  const outcome = capsulorhexisSize(mm(USUAL_OPTIC_MM))
  if (outcome.kind === 'outside-domain') return { ...base, words: outcome.reason, values: [], outOfRange: outcome.reason }
  const { low, high } = outcome.value
  const hard = nucleusBand === 'hard' || nucleusBand === 'very-hard' || nucleusBand === 'black'
  const end = hard ? `; towards ${high.toFixed(1)} for this hard nucleus, a small opening traps it` : ''
  const ask = nucleusBand === undefined ? '; density of the nucleus not stated, hard ones take the upper end' : ''
  return {
    ...base,
    words: `Capsulorhexis ${low.toFixed(1)} to ${high.toFixed(1)} mm for a ${USUAL_OPTIC_MM} mm optic, rim covered all round (common practice)${end}${ask}`,
    values: [
      { name: 'capsulorhexis, least', value: low, unit: 'mm' },
      { name: 'capsulorhexis, most', value: high, unit: 'mm' },
      { name: 'optic taken', value: USUAL_OPTIC_MM, unit: 'mm' },
    ],
  }
}
