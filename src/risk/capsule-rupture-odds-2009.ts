import { computed, type Outcome } from '../terms/outcome.js'
import { firstStatedOutside } from '../terms/stated-domain.js'
import {
  AGE_LEVELS,
  AUDIT_RATE,
  BASE_PROBABILITY,
  LATER_RATES,
  LONG_EYE_FROM_MM,
  PUPIL_LEVELS,
  SEX_LEVELS,
  SURGEON_ODDS_RATIOS,
  YES_ODDS_RATIOS,
  type YesFactor,
} from './capsule-rupture-odds-table.js'
import { AGE_DOMAIN, AXIAL_LENGTH_DOMAIN, PUPIL_DOMAIN } from './input-domain.js'
import { anyOf, type RiskInput, type SurgeonGrade } from './risk-input.js'

export type CapsuleRuptureInput = Pick<
  RiskInput,
  | 'ageYears'
  | 'sex'
  | 'axialLengthMm'
  | 'pupilDilatedMm'
  | 'denseOrWhite'
  | 'noFundalView'
  | 'pseudoexfoliation'
  | 'phacodonesis'
  | 'glaucoma'
  | 'diabetes'
  | 'alphaBlocker'
  | 'canLieFlat'
  | 'surgeonGrade'
>

export interface FactorUsed {
  readonly factor: string
  readonly level: string
  readonly oddsRatio: number
}
export interface FactorUnstated {
  readonly factor: string
  readonly levels: readonly { readonly level: string; readonly oddsRatio: number }[]
}

export interface CapsuleRuptureOdds {
  readonly used: readonly FactorUsed[]
  readonly unstated: readonly FactorUnstated[]
  /** Product of the odds ratios of every stated factor but the surgeon. */
  readonly patientOddsRatio: number
  /** For each grade: the probability as published, and at each later national rate in the order of the table. */
  readonly byGrade: Readonly<Record<SurgeonGrade, { readonly published: number; readonly recalibrated: readonly number[] }>>
}

export const oddsOf = (probability: number): number => probability / (1 - probability)
export const probabilityOf = (odds: number): number => odds / (1 + odds)

/**
 * Probability of capsule rupture or vitreous loss for a product of odds ratios.
 * @param oddsRatio composite odds ratio against the reference patient, above 0
 */
export const probabilityForOddsRatio = (oddsRatio: number): number => probabilityOf(oddsOf(BASE_PROBABILITY) * oddsRatio)

/**
 * The same model carried to another base rate: its odds times the ratio of the odds of the two rates.
 * Rough: it takes no account of a change in case mix.
 * @param probability as published, 0 to 1
 * @param rate national rate to carry it to, 0 to 1
 */
export const recalibrate = (probability: number, rate: number): number =>
  probabilityOf((oddsOf(probability) * oddsOf(rate)) / oddsOf(AUDIT_RATE))

/** Whether a factor is present, from a choice of which one value leaves it open. */
const presence = <Choice>(choice: Choice | undefined, present: Choice, open: Choice): boolean | undefined =>
  choice === undefined || choice === open ? undefined : choice === present

const yesFactors = (input: CapsuleRuptureInput): readonly (readonly [YesFactor, boolean | undefined])[] => [
  ['glaucoma', input.glaucoma],
  // "Diabetes" without a word on the retina leaves retinopathy unknown.
  ['diabetic retinopathy', presence(input.diabetes, 'retinopathy', 'diabetes')],
  ['brunescent or white cataract', input.denseOrWhite],
  ['no fundal view or vitreous opacities', input.noFundalView],
  ['pseudoexfoliation or phacodonesis', anyOf(input.pseudoexfoliation, input.phacodonesis)],
  ['axial length 26.0 mm or more', input.axialLengthMm === undefined ? undefined : input.axialLengthMm >= LONG_EYE_FROM_MM],
  // The model asked about the drug as taken; past use is not in it and is left unknown.
  ['alpha blocker', presence(input.alphaBlocker, 'current', 'past')],
  ['unable to lie flat', input.canLieFlat === undefined ? undefined : !input.canLieFlat],
]

function factorsOf(input: CapsuleRuptureInput): { used: FactorUsed[]; unstated: FactorUnstated[] } {
  const used: FactorUsed[] = []
  const unstated: FactorUnstated[] = []
  const { ageYears, sex, pupilDilatedMm } = input

  const age = ageYears === undefined ? undefined : AGE_LEVELS.findLast(({ from }) => ageYears >= from)
  if (age) used.push({ factor: 'age', level: age.level, oddsRatio: age.oddsRatio })
  else unstated.push({ factor: 'age', levels: AGE_LEVELS.slice(1) })

  if (sex) used.push({ factor: 'sex', level: sex, oddsRatio: SEX_LEVELS[sex] })
  else unstated.push({ factor: 'sex', levels: [{ level: 'male', oddsRatio: SEX_LEVELS.male }] })

  const pupil = pupilDilatedMm === undefined ? undefined : PUPIL_LEVELS.find(({ upToMm }) => pupilDilatedMm <= upToMm)
  if (pupil) used.push({ factor: 'dilated pupil', level: pupil.level, oddsRatio: pupil.oddsRatio })
  else unstated.push({ factor: 'dilated pupil', levels: PUPIL_LEVELS.slice(0, 2) })

  for (const [factor, present] of yesFactors(input)) {
    const oddsRatio = YES_ODDS_RATIOS[factor]
    if (present === undefined) unstated.push({ factor, levels: [{ level: 'present', oddsRatio }] })
    else used.push({ factor, level: present ? 'present' : 'absent', oddsRatio: present ? oddsRatio : 1 })
  }
  return { used, unstated }
}

/**
 * Posterior capsule rupture or vitreous loss by the logistic model of the 2001–06 UK audit, for every surgeon's grade.
 *
 * odds = odds of the reference patient × the adjusted odds ratios of this one model; probability = odds / (1 + odds).
 * An unstated factor is left out and listed; every level it could take raises the figure.
 *
 * - Domain: age 18–110 years, axial length 14–40 mm, dilated pupil 0.5–11 mm; a stated value outside is refused.
 * - Population and years: 55,567 operations, 12 UK trusts, 2001–06; recalibrated to 1.01 % (2016–22) and 0.69 % (2023–24).
 * - Source: Narendran N et al. Eye 2009;23:31-37. The table is recalled and awaits a check in print.
 */
export function capsuleRuptureOdds(input: CapsuleRuptureInput): Outcome<CapsuleRuptureOdds> {
  const outside = firstStatedOutside(
    { age: input.ageYears, 'axial length': input.axialLengthMm, 'dilated pupil': input.pupilDilatedMm },
    { age: AGE_DOMAIN, 'axial length': AXIAL_LENGTH_DOMAIN, 'dilated pupil': PUPIL_DOMAIN },
  )
  if (outside) return outside

  const { used, unstated } = factorsOf(input)
  const patientOddsRatio = used.reduce((product, { oddsRatio }) => product * oddsRatio, 1)
  const forGrade = (grade: SurgeonGrade) => {
    const published = probabilityForOddsRatio(patientOddsRatio * SURGEON_ODDS_RATIOS[grade])
    return { published, recalibrated: LATER_RATES.map(({ rate }) => recalibrate(published, rate)) }
  }
  return computed({
    used,
    unstated,
    patientOddsRatio,
    byGrade: {
      consultant: forGrade('consultant'),
      'associate-specialist': forGrade('associate-specialist'),
      'specialty-doctor': forGrade('specialty-doctor'),
      fellow: forGrade('fellow'),
      registrar: forGrade('registrar'),
      trainee: forGrade('trainee'),
    },
  })
}
