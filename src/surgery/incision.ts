import { firstOutside } from '../terms/outcome.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { SurgeryStatement } from '../terms/surgery-statement.js'
import type { SurgeryInput } from './surgery-input.js'

export const INCISION_UP_TO_MM = 2.8

export const INCISION: PublishedModel = {
  id: 'main-incision',
  about: 'Main incision',
  model: 'small incision',
  population: 'common practice; 124 eyes for the retropulsion figure',
  years: 'common practice; 2017',
  source: {
    cite: 'common practice, no source; retropulsion: Lim DH et al. Korean J Ophthalmol 2017;31:313-319',
    sureness: 'convention',
  },
  coefficients: [
    { name: 'main incision up to', value: INCISION_UP_TO_MM, unit: 'mm', sureness: 'convention' },
    { name: 'odds ratio of retropulsion, 3.0 against 2.2 mm', value: 3.571, sureness: 'read', note: '1.120 to 11.393' },
  ],
}

const MANUAL = new Set(['manual-small-incision', 'extracapsular'])

/** 2.8 mm or less for ultrasound; says when the stated one is wider, and that a manual extraction is another wound. */
export function incisionFigure({ incisionMm, technique }: SurgeryInput): SurgeryStatement {
  const base = { id: INCISION.id, about: INCISION.about, step: 'incision', source: INCISION.source } as const
  if (technique !== undefined && MANUAL.has(technique)) {
    return { ...base, words: 'Main incision: a manual extraction needs its own wound, self-sealing tunnel', values: [] }
  }
  const values = [{ name: 'main incision, at most', value: INCISION_UP_TO_MM, unit: 'mm' }]
  const rule = `Main incision ${INCISION_UP_TO_MM} mm or less (common practice), not so tight that the sleeve cannot cool`
  if (incisionMm === undefined) return { ...base, words: `${rule}; planned size not stated`, values }
  const outside = firstOutside({ incision: incisionMm }, { incision: { low: 1, high: 14, unit: 'mm' } })
  if (outside) return { ...base, words: `${rule}. ${outside.reason}`, values, outOfRange: outside.reason }
  const wider =
    incisionMm > INCISION_UP_TO_MM
      ? `; ${incisionMm} mm is planned: wider leaks and lets the chamber deepen (odds × 3.6 at 3.0 against 2.2 mm, 124 eyes, 2017)`
      : `; ${incisionMm} mm is planned`
  return { ...base, words: `${rule}${wider}`, values: [...values, { name: 'planned', value: incisionMm, unit: 'mm' }] }
}
