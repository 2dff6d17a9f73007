import { frequency } from '../terms/frequency.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { RiskStatement } from '../terms/risk-statement.js'
import type { RiskInput } from './risk-input.js'
import { statementOf } from './statement-of.js'

/** As printed: rates in per cent, adjusted odds ratios. */
export const EUROPE_2022 = {
  operations: 2853376,
  firstYearPercent: 1.44,
  lastYearPercent: 0.6,
  allYearsPercent: 1.1,
  cornealOpacities: { oddsRatio: 3.21, low: 3.02, high: 3.41 },
  /** The upper limit was cut off in the copy read. */
  diabeticRetinopathy: { oddsRatio: 2.74, low: 2.59 },
  perYearOfAge: 1.007,
} as const

export const CAPSULE_RUPTURE_EUROPE_2022: PublishedModel = {
  id: 'capsule-rupture-europe-2022',
  about: 'Capsule rupture, European registry',
  model: 'European registry (factors only)',
  population: '2,853,376 operations reported to the European registry',
  years: '2008–18',
  source: {
    cite: 'Segers MHM, Behndig A, van den Biggelaar FJHM, et al. J Cataract Refract Surg 2022;48:51-55',
    year: 2022,
    sureness: 'read',
  },
  coefficients: [
    { name: 'rate in 2008', value: EUROPE_2022.firstYearPercent, unit: '%', sureness: 'read' },
    { name: 'rate in 2018', value: EUROPE_2022.lastYearPercent, unit: '%', sureness: 'read' },
    { name: 'odds ratio, corneal opacities', value: 3.21, sureness: 'read', note: '3.02 to 3.41' },
    { name: 'odds ratio, diabetic retinopathy', value: 2.74, sureness: 'read', note: 'lower limit 2.59; upper not seen' },
    { name: 'odds ratio per year of age', value: EUROPE_2022.perYearOfAge, sureness: 'read' },
  ],
}

/** The registry's rates, and those of its factors that this eye is known to have. */
export function capsuleRuptureEuropeStatement({
  cornealScar,
  diabetes,
}: Pick<RiskInput, 'cornealScar' | 'diabetes'>): RiskStatement {
  const { cornealOpacities, diabeticRetinopathy, firstYearPercent, lastYearPercent } = EUROPE_2022
  const [first, last] = [firstYearPercent / 100, lastYearPercent / 100]
  const factors = [
    { factor: 'corneal opacities', present: cornealScar, oddsRatio: cornealOpacities.oddsRatio },
    {
      factor: 'diabetic retinopathy',
      present: diabetes === undefined || diabetes === 'diabetes' ? undefined : diabetes === 'retinopathy',
      oddsRatio: diabeticRetinopathy.oddsRatio,
    },
  ]
  const present = factors.filter((factor) => factor.present === true)
  const said = present.map(({ factor, oddsRatio }) => `; ${factor} odds × ${oddsRatio}`).join('')
  return statementOf(CAPSULE_RUPTURE_EUROPE_2022, {
    band: { low: last, high: first, words: `${frequency(first)} in 2008, ${frequency(last)} in 2018, all eyes` },
    factorsUsed: present.map(({ factor, oddsRatio }) => ({ factor, level: 'present', effect: `odds × ${oddsRatio}` })),
    factorsUnstated: factors
      .filter((factor) => factor.present === undefined)
      .map(({ factor, oddsRatio }) => ({ factor, wouldChange: `odds × ${oddsRatio} if present` })),
    words: `Capsule rupture, European registry, all eyes: ${frequency(first)} in 2008, ${frequency(last)} in 2018${said}`,
    caveats: ['Factors only: its odds ratios are never multiplied into another model'],
  })
}
