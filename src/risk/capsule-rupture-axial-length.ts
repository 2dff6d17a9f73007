import type { PublishedModel } from '../terms/published-model.js'
import type { RiskStatement } from '../terms/risk-statement.js'
import { firstStatedOutside } from '../terms/stated-domain.js'
import { type Study, sideBySide } from '../terms/study.js'
import { AXIAL_LENGTH_DOMAIN } from './input-domain.js'
import type { RiskInput } from './risk-input.js'
import { refusedStatement, statementOf } from './statement-of.js'

export const AXIAL_LENGTH_STUDIES: readonly Study[] = [
  {
    population: '55,567 operations, 12 UK trusts',
    years: '2001–06',
    finding: 'odds × 1.47 from 26.0 mm',
    cite: 'Narendran N et al. Eye 2009;23:31-37',
    sureness: 'memory',
  },
  {
    population: '1,211,520 UK eyes, 11,837 of them over 28 mm',
    years: '2010–19',
    finding: 'crude odds × 1.15 over 28 mm (1.61 against 1.40 %, p = 0.043, not significant at the 1 % level chosen)',
    cite: 'Day AC et al. BMJ Open 2022;12:e053560',
    sureness: 'derived',
  },
  {
    population: '88,774 eyes without other disease, 8 UK centres',
    years: 'not seen',
    finding: 'no difference over 26 mm',
    cite: 'Impact of axial length on visual outcomes and complications in phacoemulsification surgery: a multicenter database study',
    sureness: 'read',
  },
  {
    population: '961,208 operations, UK',
    years: '2016–22',
    finding: 'high myopia significant, size not seen',
    cite: 'Sim PY et al. Eye 2024;38:3495-3503',
    sureness: 'read',
  },
  {
    population: '19,586 highly myopic eyes, 28 studies',
    years: '2000–20',
    finding: 'pooled rate 3.91 % (1.98 to 6.37), falling in recent studies',
    cite: 'Yao Y et al. J Cataract Refract Surg 2021;47:1473-1480',
    sureness: 'read',
  },
]

export const CAPSULE_RUPTURE_AXIAL_LENGTH: PublishedModel = {
  id: 'capsule-rupture-axial-length',
  about: 'Capsule rupture by axial length',
  model: 'five studies that disagree',
  population: 'UK audits and a meta-analysis, see the studies',
  years: '2000–22',
  source: {
    cite: 'Narendran N et al. Eye 2009;23:31-37; Day AC et al. BMJ Open 2022;12:e053560; Sim PY et al. Eye 2024;38:3495-3503; Yao Y et al. J Cataract Refract Surg 2021;47:1473-1480',
    year: 2024,
    sureness: 'memory',
  },
  coefficients: [
    { name: 'odds ratio from 26.0 mm, 2001–06', value: 1.47, sureness: 'memory' },
    { name: 'crude odds ratio over 28 mm, 2010–19', value: 1.15, sureness: 'derived' },
  ],
}

/** Whether the length of this eye raises the risk of capsule rupture: what the studies say, side by side. */
export function capsuleRuptureAxialLengthStatement({ axialLengthMm }: Pick<RiskInput, 'axialLengthMm'>): RiskStatement {
  const outside = firstStatedOutside({ 'axial length': axialLengthMm }, { 'axial length': AXIAL_LENGTH_DOMAIN })
  if (outside) return refusedStatement(CAPSULE_RUPTURE_AXIAL_LENGTH, outside)
  const working = sideBySide(
    AXIAL_LENGTH_STUDIES,
    'none: the studies stand side by side, nothing is multiplied',
    CAPSULE_RUPTURE_AXIAL_LENGTH.source,
  )
  const range = 'from no effect to 1.5 times the odds'
  if (axialLengthMm === undefined) {
    return statementOf(CAPSULE_RUPTURE_AXIAL_LENGTH, {
      factorsUnstated: [{ factor: 'axial length', wouldChange: `${range} if 26 mm or more` }],
      words: 'Capsule rupture by axial length: the length is not stated',
      working,
    })
  }
  const long = axialLengthMm >= 26
  return statementOf(CAPSULE_RUPTURE_AXIAL_LENGTH, {
    band: { words: long ? range : 'no added risk reported below 26 mm' },
    factorsUsed: [{ factor: 'axial length', level: `${axialLengthMm} mm`, effect: long ? range : 'none' }],
    words: long
      ? `Capsule rupture by axial length, ${axialLengthMm} mm: studies disagree, ${range} (2000–22). A rupture costs more in a long eye: see retinal detachment`
      : `Capsule rupture by axial length, ${axialLengthMm} mm: no added risk reported below 26 mm (2000–22)`,
    caveats: long ? ['Long eyes went to consultants more often (76.5 against 67.3 %): crude rates are confounded by grade'] : [],
    working,
  })
}
