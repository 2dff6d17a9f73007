import { frequencyRange } from '../terms/frequency.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { RiskStatement } from '../terms/risk-statement.js'
import { firstStatedOutside } from '../terms/stated-domain.js'
import { AXIAL_LENGTH_DOMAIN } from './input-domain.js'
import type { RiskInput } from './risk-input.js'
import { refusedStatement, statementOf } from './statement-of.js'

/** Cumulative per cent by years after surgery, as printed. */
export const LATE_DISLOCATION = {
  minnesota: { 5: 0.1, 10: 0.1, 15: 0.2, 20: 0.7, 25: 1.7 },
  varmland: { 5: 0.09, 10: 0.55, 15: 1, 20: 1 },
} as const

const entries = (where: string, rates: Readonly<Record<number, number>>) =>
  Object.entries(rates).map(([after, percent]) => ({
    name: `${where}, ${after} years`,
    value: percent,
    unit: '%',
    sureness: 'read' as const,
  }))

export const LATE_DISLOCATION_COHORTS: PublishedModel = {
  id: 'late-dislocation',
  about: 'Late dislocation of the lens in its bag',
  model: 'two population cohorts',
  population: 'Olmsted County, Minnesota (2011); Värmland, Sweden (2015)',
  years: '2011 and 2015',
  source: {
    cite: 'Pueringer SL, Hodge DO, Erie JC. Am J Ophthalmol 2011;152:618-623; Dabrowska-Kloda K et al. J Cataract Refract Surg 2015;41:1376-1382',
    year: 2015,
    sureness: 'read',
  },
  coefficients: [...entries('Minnesota', LATE_DISLOCATION.minnesota), ...entries('Värmland', LATE_DISLOCATION.varmland)],
}

/** How often the lens dislocates late, and which of the reported risk factors this eye has. */
export function lateDislocationStatement({
  axialLengthMm,
  pseudoexfoliation,
  phacodonesis,
}: Pick<RiskInput, 'axialLengthMm' | 'pseudoexfoliation' | 'phacodonesis'>): RiskStatement {
  const outside = firstStatedOutside({ 'axial length': axialLengthMm }, { 'axial length': AXIAL_LENGTH_DOMAIN })
  if (outside) return refusedStatement(LATE_DISLOCATION_COHORTS, outside)
  const factors = [
    { factor: 'pseudoexfoliation', present: pseudoexfoliation },
    { factor: 'loose zonules', present: phacodonesis },
    { factor: 'long eye', present: axialLengthMm === undefined ? undefined : axialLengthMm >= 26 },
  ]
  const present = factors.filter((factor) => factor.present === true).map(({ factor }) => factor)
  const at = (years: 10 | 20): readonly [number, number] => {
    const pair = [LATE_DISLOCATION.minnesota[years] / 100, LATE_DISLOCATION.varmland[years] / 100]
    return [Math.min(...pair), Math.max(...pair)]
  }
  const [low, high] = at(20)
  const raised = present.length === 0 ? '' : `; risk factors here: ${present.join(', ')}`
  return statementOf(LATE_DISLOCATION_COHORTS, {
    band: { low, high, words: `${frequencyRange(...at(10))} by 10 years, ${frequencyRange(low, high)} by 20, all eyes` },
    factorsUsed: present.map((factor) => ({ factor, level: 'present', effect: 'reported risk factor, size not seen' })),
    factorsUnstated: factors
      .filter((factor) => factor.present === undefined)
      .map(({ factor }) => ({ factor, wouldChange: 'reported risk factor if present, size not seen' })),
    words: `Late dislocation of the lens in its bag: ${frequencyRange(...at(10))} by 10 years, ${frequencyRange(low, high)} by 20, all eyes (2011, 2015)${raised}`,
    caveats: ['Long ultrasound time is a reported risk factor too: known only after surgery'],
  })
}
