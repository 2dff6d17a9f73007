import type { PublishedModel } from '../terms/published-model.js'
import type { RiskStatement } from '../terms/risk-statement.js'
import { type Study, sideBySide } from '../terms/study.js'
import type { RiskInput } from './risk-input.js'
import { statementOf } from './statement-of.js'

export const MANUAL_AGAINST_ULTRASOUND: readonly Study[] = [
  {
    population: '200 eyes, randomised',
    years: '2010',
    finding: 'cell loss 543 by ultrasound, 506 by manual extraction (about 18.4 and 17.7 %): no difference',
    cite: 'Gogate P et al. J Cataract Refract Surg 2010;36:247-253',
    sureness: 'read',
  },
  {
    population: '80 eyes, LOCS III 4 and more, randomised',
    years: '2018',
    finding: 'day 1 acuity 6/18 or better: 22.5 % by ultrasound, 52.5 % by manual extraction',
    cite: 'Enany HA. Delta J Ophthalmol 2018;19:92-98',
    sureness: 'read',
  },
  {
    population: 'white cataracts, randomised',
    years: '2010',
    finding: 'day 1 corneal oedema 18.7 against 10.2 %; capsule rupture 2.2 against 1.4 % (not significant)',
    cite: 'Venkatesh R et al. J Cataract Refract Surg 2010;36:1849-1854',
    sureness: 'read',
  },
  {
    population: '959 brunescent eyes, retrospective',
    years: '2020',
    finding:
      'capsule rupture 9 of 305 by ultrasound, 16 of 654 by manual extraction, with zonular dialysis in 12 of 654; uncorrected acuity better after ultrasound',
    cite: 'Ravindran SA et al. TNOA J Ophthalmic Sci Res 2020;58:74-77',
    sureness: 'read',
  },
  {
    population: 'UK, case-control',
    years: '2004',
    finding: 'elective extracapsular extraction and conversion are independent risks of suprachoroidal haemorrhage',
    cite: 'Ling R et al. Br J Ophthalmol 2004;88:474-477',
    sureness: 'read',
  },
]

export const CONVERSION: PublishedModel = {
  id: 'manual-or-ultrasound',
  about: 'Manual extraction or ultrasound',
  model: 'trials and one series, side by side',
  population: 'hard, white and brunescent cataracts; none of them in very long eyes',
  years: '2004–20',
  source: {
    cite: MANUAL_AGAINST_ULTRASOUND.map(({ cite }) => cite).join('; '),
    year: 2020,
    sureness: 'read',
  },
  coefficients: [
    { name: 'cells lost by ultrasound', value: 543, unit: 'cells/mm²', sureness: 'read' },
    { name: 'cells lost by manual extraction', value: 506, unit: 'cells/mm²', sureness: 'read' },
    { name: 'capsule ruptures by ultrasound, of 305 brown eyes', value: 9, sureness: 'read' },
    { name: 'capsule ruptures by manual extraction, of 654 brown eyes', value: 16, sureness: 'read' },
    { name: 'zonular dialyses by manual extraction, of 654 brown eyes', value: 12, sureness: 'read' },
  ],
}

/** Both sides of a manual extraction for this nucleus, with the numbers of each. Shown as a question, never as a verdict. */
export function conversionStatement({
  nucleusBand,
  phacodonesis,
}: Pick<RiskInput, 'nucleusBand' | 'phacodonesis'>): RiskStatement {
  const working = sideBySide(MANUAL_AGAINST_ULTRASOUND, 'none: trials stand side by side', CONVERSION.source)
  if (nucleusBand === undefined) {
    return statementOf(CONVERSION, {
      factorsUnstated: [{ factor: 'density of the nucleus', wouldChange: 'brings the trials in hard nuclei to bear if hard' }],
      words: 'Manual extraction or ultrasound: density of the nucleus not stated',
      working,
    })
  }
  if (nucleusBand === 'soft' || nucleusBand === 'mild' || nucleusBand === 'medium') {
    return statementOf(CONVERSION, {
      factorsUsed: [{ factor: 'nucleus', level: nucleusBand, effect: 'not among the nuclei of these trials' }],
      words: 'Manual extraction or ultrasound: the trials in hard nuclei (2004–20) do not concern this one',
      working,
    })
  }
  const loose = phacodonesis === true ? '; loose zonules speak against expressing this nucleus' : ''
  return statementOf(CONVERSION, {
    factorsUsed: [
      { factor: 'nucleus', level: nucleusBand, effect: 'among the nuclei of these trials' },
      ...(phacodonesis === true ? [{ factor: 'phacodonesis', level: 'present', effect: 'against manual expression' }] : []),
    ],
    factorsUnstated:
      phacodonesis === undefined ? [{ factor: 'phacodonesis', wouldChange: 'speaks against manual expression if present' }] : [],
    words: `Manual extraction or ultrasound, hard nucleus: cell loss alike (543 and 506, 200 eyes, 2010); day 1 acuity 6/18 or better in 53 against 23 in 100 (80 eyes, 2018); capsule rupture in brown eyes 2.4 against 3 in 100, zonular dialysis 1.8 in 100 (959 eyes, 2020)${loose}. Open globe longer in a long eye: decide before the capsule is opened`,
    caveats: [
      'None of these studies was in very long eyes',
      'The 2020 abstract contradicts itself on ultrasound complications (14 of 305 printed as 2.95 %); the ruptures, 9 of 305, fit that share',
    ],
    working,
  })
}
