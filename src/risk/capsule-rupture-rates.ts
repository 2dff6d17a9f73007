import { frequency, frequencyRange } from '../terms/frequency.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { RiskStatement } from '../terms/risk-statement.js'
import { firstStatedOutside } from '../terms/stated-domain.js'
import { AXIAL_LENGTH_DOMAIN } from './input-domain.js'
import type { RiskInput } from './risk-input.js'
import { refusedStatement, statementOf } from './statement-of.js'

/** Observed rates of capsule rupture or vitreous loss, oldest first. Rate in per cent, as printed. */
export const OBSERVED_RATES = [
  { where: 'UK', years: '2001–06', percent: 1.92, operations: 55567, cite: 'Narendran N et al. Eye 2009;23:31-37' },
  { where: 'UK', years: '2006–10', percent: 1.95, operations: 180114, cite: 'Day AC et al. Eye 2015;29:552-560' },
  { where: 'UK', years: '2010–19', percent: 1.4, operations: 1211520, cite: 'Day AC et al. BMJ Open 2022;12:e053560' },
  { where: 'UK', years: '2016–22', percent: 1.01, operations: 961208, cite: 'Sim PY et al. Eye 2024;38:3495-3503' },
  {
    where: 'UK',
    years: '2023–24',
    percent: 0.69,
    operations: undefined,
    cite: 'Royal College of Ophthalmologists, national audit figures 2023-24',
  },
] as const

/** Rates in groups of eyes that are harder than the average, as printed. */
export const RATES_IN_HARD_EYES = {
  highMyopia: {
    percent: 3.91,
    lowPercent: 1.98,
    highPercent: 6.37,
    eyes: 19586,
    years: '2000–20',
    cite: 'Yao Y et al. J Cataract Refract Surg 2021;47:1473-1480',
  },
  matureCataract: {
    percent: 7.3,
    events: 95,
    eyes: 1302,
    years: '2023',
    cite: 'Keles A et al. Indian J Ophthalmol 2023 (doi 10.4103/ijo.IJO_1633_22)',
  },
} as const

export const CAPSULE_RUPTURE_RATES: PublishedModel = {
  id: 'capsule-rupture-rates',
  about: 'Capsule rupture, all eyes',
  model: 'national observed rates',
  population: 'UK national audit, all cataract operations',
  years: '2001–24',
  source: {
    cite: 'Day AC et al. Eye 2015;29:552-560; Day AC et al. BMJ Open 2022;12:e053560; Sim PY et al. Eye 2024;38:3495-3503; Royal College of Ophthalmologists, national audit figures 2023-24',
    year: 2024,
    sureness: 'read',
  },
  coefficients: [
    ...OBSERVED_RATES.map(({ where, years, percent, cite }) => ({
      name: `${where} ${years}`,
      value: percent,
      unit: '%',
      sureness: 'read' as const,
      note: cite,
    })),
    ...Object.entries(RATES_IN_HARD_EYES).map(([name, { percent, cite }]) => ({
      name: name === 'highMyopia' ? 'high myopia, pooled' : 'mature cataract, one centre',
      value: percent,
      unit: '%',
      sureness: 'read' as const,
      note: cite,
    })),
  ],
}

const EARLIEST = OBSERVED_RATES[0].percent / 100
const LATEST = OBSERVED_RATES[OBSERVED_RATES.length - 1]?.percent ?? 0

/**
 * What was observed in all eyes, as the background to a model's figure; and in the group of harder eyes that this one
 * is known to belong to. A rate of a group is not this eye's probability.
 */
export function capsuleRuptureRatesStatement(input: RiskInput): RiskStatement {
  const outside = firstStatedOutside({ 'axial length': input.axialLengthMm }, { 'axial length': AXIAL_LENGTH_DOMAIN })
  if (outside) return refusedStatement(CAPSULE_RUPTURE_RATES, outside)
  const { highMyopia, matureCataract } = RATES_IN_HARD_EYES
  const groups: string[] = []
  if (input.axialLengthMm !== undefined && input.axialLengthMm > 26) {
    const [low, high] = [highMyopia.lowPercent / 100, highMyopia.highPercent / 100]
    groups.push(
      `high myopia ${frequency(highMyopia.percent / 100)} (${frequencyRange(low, high)}; 28 studies, ${highMyopia.years})`,
    )
  }
  if (input.whiteCataract === true) {
    groups.push(`mature cataract ${frequency(matureCataract.percent / 100)} (one centre, ${matureCataract.events} of 1,302)`)
  }
  const rest = groups.length === 0 ? '' : `; ${groups.join('; ')}`
  return statementOf(CAPSULE_RUPTURE_RATES, {
    band: {
      low: LATEST / 100,
      high: EARLIEST,
      words: `${frequency(EARLIEST)} in 2001–06, ${frequency(LATEST / 100)} in 2023–24`,
    },
    words: `Capsule rupture observed in all UK operations: ${frequency(EARLIEST)} in 2001–06, ${frequency(0.0101)} in 2016–22, ${frequency(LATEST / 100)} in 2023–24${rest}`,
    caveats: ["Observed rates of groups, for orientation: none of them is this eye's probability"],
    working: {
      inputs: OBSERVED_RATES.map(({ where, years, percent, cite }) => ({
        name: `${where} ${years}, ${cite}`,
        value: percent,
        unit: '%',
      })),
      steps: [],
      equation: 'none: observed rates',
      source: CAPSULE_RUPTURE_RATES.source,
    },
  })
}
