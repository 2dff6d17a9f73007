import { frequencyRange } from '../terms/frequency.js'
import { computed, type Outcome } from '../terms/outcome.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { RiskStatement } from '../terms/risk-statement.js'
import { firstStatedOutside } from '../terms/stated-domain.js'
import { sideBySide } from '../terms/study.js'
import { AGE_DOMAIN, AXIAL_LENGTH_DOMAIN, REFRACTION_DOMAIN } from './input-domain.js'
import { RETINAL_DETACHMENT_STUDIES } from './retinal-detachment-studies.js'
import type { RiskInput } from './risk-input.js'
import { refusedStatement, statementOf } from './statement-of.js'

/** One display band: a convention drawn over the studies, shown as a range and never as one figure. */
export interface DetachmentBand {
  readonly profile: string
  readonly low: number
  readonly high: number
  readonly over: string
  /** Lowest and highest single study where the studies disagree widely. */
  readonly disagreement?: string
}

export const DETACHMENT_BANDS = {
  ordinary: { profile: 'axial length up to 25 mm, woman over 60', low: 0.001, high: 0.002, over: '1 to 7 years' },
  ordinaryRaised: { profile: 'axial length up to 25 mm, man or under 60', low: 0.002, high: 0.007, over: '1 to 10 years' },
  between: { profile: 'axial length over 25 and under 26 mm', low: 0.003, high: 0.01, over: '5 to 10 years' },
  long: { profile: 'axial length 26 to 28 mm', low: 0.01, high: 0.02, over: '5 to 8 years' },
  veryLong: {
    profile: 'axial length over 28 mm, or refraction beyond −15 D',
    low: 0.02,
    high: 0.08,
    over: '3 to 8 years',
    disagreement: 'studies from 0.8 to 8 in 100',
  },
} as const satisfies Readonly<Record<string, DetachmentBand>>

export const RETINAL_DETACHMENT: PublishedModel = {
  id: 'retinal-detachment',
  about: 'Retinal detachment',
  model: 'bands over eleven studies that disagree',
  population: 'UK, US, Australian, Korean, Danish and high-myopia cohorts, see the studies',
  years: '1997–2023',
  source: {
    cite: 'Petousis V et al. 2016; Clark A et al. 2012; Morano MJ et al. 2023; Kim J et al. 2019; Laube T et al. 2017; Alió JL et al. 2007; Ripandelli G et al. 2003; Jacobi FK, Hessemer V 1997; Yao Y et al. 2021; Bjerrum SS et al. 2013. The bands drawn over them are a convention',
    sureness: 'convention',
  },
  coefficients: Object.values(DETACHMENT_BANDS).flatMap(({ profile, low, high }) => [
    { name: `${profile}, low`, value: low, sureness: 'convention' as const },
    { name: `${profile}, high`, value: high, sureness: 'convention' as const },
  ]),
}

type DetachmentInput = Pick<
  RiskInput,
  | 'axialLengthMm'
  | 'refractionD'
  | 'ageYears'
  | 'sex'
  | 'lattice'
  | 'vitreous'
  | 'fellowRetinalDetachment'
  | 'familyRetinalDetachment'
>

/**
 * The band for this eye after uncomplicated surgery, or undefined when neither the length nor a refraction beyond
 * −15 D is stated. Above 26 mm age and sex move the reader up within or beyond the band; they are never multiplied in.
 * Domain: axial length 14–40 mm, age 18–110 years, refraction −50 to +30 D.
 */
export function detachmentBand(input: DetachmentInput): Outcome<DetachmentBand | undefined> {
  const outside = firstStatedOutside(
    { 'axial length': input.axialLengthMm, age: input.ageYears, refraction: input.refractionD },
    { 'axial length': AXIAL_LENGTH_DOMAIN, age: AGE_DOMAIN, refraction: REFRACTION_DOMAIN },
  )
  if (outside) return outside
  const { axialLengthMm: length, refractionD } = input
  if (refractionD !== undefined && refractionD < -15) return computed(DETACHMENT_BANDS.veryLong)
  if (length === undefined) return computed(undefined)
  if (length > 28) return computed(DETACHMENT_BANDS.veryLong)
  if (length >= 26) return computed(DETACHMENT_BANDS.long)
  if (length > 25) return computed(DETACHMENT_BANDS.between)
  // Only a woman known to be over 60 has the lower band; anything unknown leaves the wider one.
  const older = input.ageYears !== undefined && input.ageYears > 60
  return computed(input.sex === 'female' && older ? DETACHMENT_BANDS.ordinary : DETACHMENT_BANDS.ordinaryRaised)
}

const raising = (input: DetachmentInput): readonly (readonly [string, boolean | undefined, string])[] => [
  ['age under 60', input.ageYears === undefined ? undefined : input.ageYears < 60, '× 3.8 to 5.1 in single studies'],
  ['male', input.sex === undefined ? undefined : input.sex === 'male', '× 1.3 to 3.2 in single studies'],
  ['lattice', input.lattice, '× 10.5 in one registry'],
  ['detachment of the fellow eye', input.fellowRetinalDetachment, 'marks a predisposed retina'],
  ['detachment in the family', input.familyRetinalDetachment, 'marks a predisposed retina'],
  [
    'vitreous still attached',
    input.vitreous === undefined ? undefined : input.vitreous === 'attached',
    'may detach after surgery',
  ],
]

/** The band for this eye, what places it higher, and what nobody stated. */
export function retinalDetachmentStatement(input: DetachmentInput): RiskStatement {
  const outcome = detachmentBand(input)
  if (outcome.kind === 'outside-domain') return refusedStatement(RETINAL_DETACHMENT, outcome)
  const band: DetachmentBand | undefined = outcome.value
  const working = sideBySide(
    RETINAL_DETACHMENT_STUDIES,
    'none: a band drawn over studies that stand side by side; hazards of different studies are not multiplied',
    RETINAL_DETACHMENT.source,
  )
  const factors = raising(input)
  const unstated = factors
    .filter(([, present]) => present === undefined)
    .map(([factor, , effect]) => ({ factor, wouldChange: `if so, above the band (${effect})` }))
  const caveats = [
    'The bands are a convention drawn over studies that disagree; the studies unfold beside them',
    'Surgery without capsule rupture; after a rupture see the separate figure',
  ]
  if (band === undefined) {
    return statementOf(RETINAL_DETACHMENT, {
      factorsUnstated: [
        { factor: 'axial length', wouldChange: 'from 1 in 1,000 in a short eye to 8 in 100 over 28 mm' },
        ...unstated,
      ],
      words: 'Retinal detachment: no band, the axial length is not stated',
      caveats,
      working,
    })
  }
  const present = factors.filter(([, isPresent]) => isPresent === true)
  const range = `${frequencyRange(band.low, band.high)} over ${band.over}`
  const higher = present.length === 0 ? '' : `; higher for: ${present.map(([factor]) => factor).join(', ')}`
  const disagreement = band.disagreement === undefined ? '' : ` (${band.disagreement})`
  return statementOf(RETINAL_DETACHMENT, {
    band: { low: band.low, high: band.high, words: `${range}${disagreement}` },
    factorsUsed: [
      ...(input.axialLengthMm === undefined
        ? []
        : [{ factor: 'axial length', level: `${input.axialLengthMm} mm`, effect: band.profile }]),
      ...present.map(([factor, , effect]) => ({ factor, level: 'present', effect: `above the band (${effect})` })),
    ],
    factorsUnstated: unstated,
    words: `Retinal detachment without capsule rupture: ${range}${disagreement}${higher} (cohorts 1997–2023)`,
    caveats,
    working,
  })
}
