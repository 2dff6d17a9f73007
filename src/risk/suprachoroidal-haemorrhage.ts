import { frequency, frequencyRange } from '../terms/frequency.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { RiskStatement } from '../terms/risk-statement.js'
import { firstStatedOutside } from '../terms/stated-domain.js'
import { AGE_DOMAIN, AXIAL_LENGTH_DOMAIN, PRESSURE_DOMAIN } from './input-domain.js'
import type { RiskInput } from './risk-input.js'
import { refusedStatement, statementOf } from './statement-of.js'

/** Counts and adjusted odds ratios as printed. */
export const SUPRACHOROIDAL_2023 = {
  events: 204,
  operations: 709083,
  capsuleRupture: 17.6,
  raisedPressure: 3.7,
  glaucoma: 1.7,
  aged90: 6.7,
  topicalWithIntracameral: 0.5,
} as const
/** UK, one year, per cent. */
const EARLIER_PERCENT = 0.04
/** The paper's limit for a raised pressure was not seen. */
const RAISED_ABOVE_MMHG = 21

export const SUPRACHOROIDAL_HAEMORRHAGE: PublishedModel = {
  id: 'suprachoroidal-haemorrhage',
  about: 'Suprachoroidal haemorrhage',
  model: 'UK national database, report 12',
  population: '709,083 operations, 204 haemorrhages, UK; one earlier UK year',
  years: '2004 and 2023',
  source: {
    cite: 'Stewart S, Gruszka-Goh MH, Neo YN, et al. Eye 2023 (doi 10.1038/s41433-023-02514-y); Ling R, Cole M, James C, et al. Br J Ophthalmol 2004;88:478-480',
    year: 2023,
    sureness: 'read',
  },
  coefficients: [
    { name: 'haemorrhages', value: SUPRACHOROIDAL_2023.events, sureness: 'read' },
    { name: 'operations', value: SUPRACHOROIDAL_2023.operations, sureness: 'read' },
    { name: 'earlier UK rate', value: EARLIER_PERCENT, unit: '%', sureness: 'read', note: '0.034 to 0.050' },
    { name: 'odds ratio, capsule rupture', value: SUPRACHOROIDAL_2023.capsuleRupture, sureness: 'read' },
    { name: 'odds ratio, raised pressure before surgery', value: SUPRACHOROIDAL_2023.raisedPressure, sureness: 'read' },
    { name: 'odds ratio, glaucoma', value: SUPRACHOROIDAL_2023.glaucoma, sureness: 'read' },
    { name: 'odds ratio, age 90 or more', value: SUPRACHOROIDAL_2023.aged90, sureness: 'read' },
    {
      name: 'odds ratio, intracameral added to topical',
      value: SUPRACHOROIDAL_2023.topicalWithIntracameral,
      sureness: 'read',
    },
    { name: 'pressure called raised above', value: RAISED_ABOVE_MMHG, unit: 'mmHg', sureness: 'convention' },
  ],
}

type HaemorrhageInput = Pick<
  RiskInput,
  'ageYears' | 'axialLengthMm' | 'glaucoma' | 'intraocularPressureMmHg' | 'anaesthesia' | 'technique'
>

const factorsOf = ({ ageYears, glaucoma, intraocularPressureMmHg: pressure, anaesthesia }: HaemorrhageInput) => [
  {
    factor: `pressure over ${RAISED_ABOVE_MMHG} mmHg`,
    present: pressure === undefined ? undefined : pressure > RAISED_ABOVE_MMHG,
    oddsRatio: SUPRACHOROIDAL_2023.raisedPressure,
  },
  { factor: 'glaucoma', present: glaucoma, oddsRatio: SUPRACHOROIDAL_2023.glaucoma },
  {
    factor: 'age 90 or more',
    present: ageYears === undefined ? undefined : ageYears >= 90,
    oddsRatio: SUPRACHOROIDAL_2023.aged90,
  },
  {
    factor: 'intracameral added to topical anaesthesia',
    present: anaesthesia === undefined ? undefined : anaesthesia === 'topical-intracameral',
    oddsRatio: SUPRACHOROIDAL_2023.topicalWithIntracameral,
  },
]

/** How rare it is in all eyes, what changes the odds in this one, and that no number is attached to its length. */
export function suprachoroidalHaemorrhageStatement(input: HaemorrhageInput): RiskStatement {
  const outside = firstStatedOutside(
    { age: input.ageYears, 'axial length': input.axialLengthMm, pressure: input.intraocularPressureMmHg },
    { age: AGE_DOMAIN, 'axial length': AXIAL_LENGTH_DOMAIN, pressure: PRESSURE_DOMAIN },
  )
  if (outside) return refusedStatement(SUPRACHOROIDAL_HAEMORRHAGE, outside)
  const [low, high] = [SUPRACHOROIDAL_2023.events / SUPRACHOROIDAL_2023.operations, EARLIER_PERCENT / 100]
  const factors = factorsOf(input)
  const present = factors.filter((factor) => factor.present === true)
  const long = input.axialLengthMm !== undefined && input.axialLengthMm >= 26
  const extracapsular = input.technique === 'extracapsular'
  const said = [
    ...present.map(({ factor, oddsRatio }) => `${factor} odds × ${oddsRatio}`),
    ...(long ? ['a long eye is a textbook risk without a number'] : []),
    ...(extracapsular ? ['elective extracapsular extraction is an independent risk (2004)'] : []),
    `a capsule rupture would multiply the odds by ${SUPRACHOROIDAL_2023.capsuleRupture}`,
  ]
  return statementOf(SUPRACHOROIDAL_HAEMORRHAGE, {
    band: { low, high, words: `${frequencyRange(low, high)}, all eyes` },
    factorsUsed: [
      ...present.map(({ factor, oddsRatio }) => ({ factor, level: 'present', effect: `odds × ${oddsRatio}` })),
      ...(long
        ? [{ factor: 'axial length', level: `${input.axialLengthMm} mm`, effect: 'raises it; no number published here' }]
        : []),
    ],
    factorsUnstated: [
      ...factors
        .filter((factor) => factor.present === undefined)
        .map(({ factor, oddsRatio }) => ({ factor, wouldChange: `odds × ${oddsRatio} if so` })),
      ...(input.axialLengthMm === undefined
        ? [{ factor: 'axial length', wouldChange: 'raises it if long; no number published here' }]
        : []),
    ],
    words: `Suprachoroidal haemorrhage: ${frequency(low)} (UK, 2023) to ${frequency(high)} (UK, 2004) in all eyes; ${said.join('; ')}`,
    caveats: [
      'Length was not among the significant factors of the abstracts read: high myopia is a textbook risk, from memory',
      'The base odds of the model were not seen: its odds ratios are listed and not multiplied into a figure',
      'Conversion from ultrasound is an independent risk (Ling R et al. Br J Ophthalmol 2004;88:474-477)',
    ],
  })
}
