import { frequency } from '../terms/frequency.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { RiskStatement } from '../terms/risk-statement.js'
import { firstStatedOutside } from '../terms/stated-domain.js'
import { AGE_DOMAIN, AXIAL_LENGTH_DOMAIN, CHAMBER_DEPTH_DOMAIN, INCISION_DOMAIN } from './input-domain.js'
import type { RiskInput } from './risk-input.js'
import { refusedStatement, statementOf } from './statement-of.js'

/** Share with retropulsion, per cent, and adjusted odds ratios with 95 % limits, as printed. */
export const RETROPULSION_2017 = {
  allPercent: 19.4,
  vitrectomisedPercent: 41.9,
  notVitrectomisedPercent: 11.8,
  vitrectomised: { oddsRatio: 3.865, low: 1.201, high: 12.436 },
  perMillimetreOfLength: { oddsRatio: 1.709, low: 1.264, high: 2.31 },
  widerIncision: { oddsRatio: 3.571, low: 1.12, high: 11.393 },
} as const

export const DIAPHRAGM_RETROPULSION_2017: PublishedModel = {
  id: 'diaphragm-retropulsion-2017',
  about: 'Lens–iris diaphragm retropulsion',
  model: '2017 odds (read qualitatively)',
  population: '124 eyes in one Korean centre, 31 of them vitrectomised',
  years: '2017',
  source: {
    cite: 'Lim DH, Shin DH, Han G, Chung ES, Chung TY. Korean J Ophthalmol 2017;31:313-319',
    year: 2017,
    sureness: 'read',
  },
  coefficients: [
    { name: 'odds ratio, vitrectomised', value: 3.865, sureness: 'read', note: '1.201 to 12.436' },
    { name: 'odds ratio per millimetre of axial length', value: 1.709, sureness: 'read', note: '1.264 to 2.310' },
    { name: 'odds ratio, incision 3.0 against 2.2 mm', value: 3.571, sureness: 'read', note: '1.120 to 11.393' },
    { name: 'share of all eyes', value: 19.4, unit: '%', sureness: 'read' },
    { name: 'share of vitrectomised eyes', value: 41.9, unit: '%', sureness: 'read' },
    { name: 'share of other eyes', value: 11.8, unit: '%', sureness: 'read' },
    { name: 'called long from', value: 26, unit: 'mm', sureness: 'convention' },
    { name: 'called deep over', value: 3.5, unit: 'mm', sureness: 'convention' },
  ],
}

type RetropulsionInput = Pick<
  RiskInput,
  'axialLengthMm' | 'previousVitrectomy' | 'incisionMm' | 'anteriorChamberDepthMm' | 'ageYears'
>

const above = (value: number | undefined, limit: number): boolean | undefined =>
  value === undefined ? undefined : value >= limit

const raising = (input: RetropulsionInput) =>
  [
    { factor: 'long eye', present: above(input.axialLengthMm, 26), effect: 'odds × 1.7 per mm (1.3 to 2.3)' },
    { factor: 'previous vitrectomy', present: input.previousVitrectomy, effect: 'odds × 3.9 (1.2 to 12)' },
    {
      factor: 'incision of 3.0 mm or more',
      present: above(input.incisionMm, 3),
      effect: 'odds × 3.6 against 2.2 mm (1.1 to 11)',
    },
    {
      factor: 'deep chamber (over 3.5 mm)',
      present: input.anteriorChamberDepthMm === undefined ? undefined : input.anteriorChamberDepthMm > 3.5,
      effect: 'raises it (× 3.3 per mm, univariable)',
    },
  ] as const

/**
 * What raises retropulsion in this eye. The sample was enriched and its limits are wide: the odds are shown and never
 * turned into this eye's probability.
 */
export function diaphragmRetropulsionStatement(input: RetropulsionInput): RiskStatement {
  const outside = firstStatedOutside(
    {
      'axial length': input.axialLengthMm,
      incision: input.incisionMm,
      'anterior chamber depth': input.anteriorChamberDepthMm,
      age: input.ageYears,
    },
    {
      'axial length': AXIAL_LENGTH_DOMAIN,
      incision: INCISION_DOMAIN,
      'anterior chamber depth': CHAMBER_DEPTH_DOMAIN,
      age: AGE_DOMAIN,
    },
  )
  if (outside) return refusedStatement(DIAPHRAGM_RETROPULSION_2017, outside)
  const factors = raising(input)
  const present = factors.filter((factor) => factor.present === true)
  const names = present.map(({ factor }) => factor)
  const group =
    input.previousVitrectomy === true
      ? `${frequency(RETROPULSION_2017.vitrectomisedPercent / 100)} of vitrectomised eyes had it`
      : input.previousVitrectomy === false
        ? `${frequency(RETROPULSION_2017.notVitrectomisedPercent / 100)} of eyes not vitrectomised had it`
        : `${frequency(RETROPULSION_2017.allPercent / 100)} had it`
  const raised = names.length === 0 ? 'nothing stated raises it' : `raised by: ${names.join(', ')}`
  return statementOf(DIAPHRAGM_RETROPULSION_2017, {
    band: { words: raised },
    factorsUsed: present.map(({ factor, effect }) => ({ factor, level: 'present', effect })),
    factorsUnstated: factors
      .filter((factor) => factor.present === undefined)
      .map(({ factor, effect }) => ({ factor, wouldChange: `if so, ${effect}` })),
    words: `Lens–iris diaphragm retropulsion: ${raised}; ${group} (124 eyes, 2017)`,
    caveats: ['Enriched sample of 124 eyes with wide limits: read the direction, not the size'],
  })
}
