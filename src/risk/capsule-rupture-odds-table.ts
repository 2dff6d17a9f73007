import type { PublishedModel } from '../terms/published-model.js'
import type { SurgeonGrade } from './risk-input.js'

/** Probability for the reference patient: a woman under 60, large pupil, nothing else, consultant. */
export const BASE_PROBABILITY = 0.0075
/** The rate in the audit that the model was fitted on. */
export const AUDIT_RATE = 0.0192

export const AGE_LEVELS = [
  { from: 0, level: 'under 60', oddsRatio: 1 },
  { from: 60, level: '60 to 69', oddsRatio: 1.14 },
  { from: 70, level: '70 to 79', oddsRatio: 1.42 },
  { from: 80, level: '80 to 89', oddsRatio: 1.58 },
  { from: 90, level: '90 or more', oddsRatio: 2.37 },
] as const

export const SEX_LEVELS = { female: 1, male: 1.28 } as const

/** The audit recorded the pupil in words; the millimetres that stand for them here are a convention. */
export const PUPIL_LEVELS = [
  { upToMm: 3, level: 'small', oddsRatio: 1.45 },
  { upToMm: 6, level: 'medium', oddsRatio: 1.14 },
  { upToMm: Number.POSITIVE_INFINITY, level: 'large', oddsRatio: 1 },
] as const

export const LONG_EYE_FROM_MM = 26

/** Odds ratios of the yes-or-no factors. */
export const YES_ODDS_RATIOS = {
  glaucoma: 1.3,
  'diabetic retinopathy': 1.63,
  'brunescent or white cataract': 2.99,
  'no fundal view or vitreous opacities': 2.46,
  'pseudoexfoliation or phacodonesis': 2.92,
  'axial length 26.0 mm or more': 1.47,
  'alpha blocker': 1.51,
  'unable to lie flat': 1.27,
} as const
export type YesFactor = keyof typeof YES_ODDS_RATIOS

/**
 * The audit's grades against those a case states: a trainee is its senior house officer, a registrar its specialist
 * registrar, a specialty doctor its staff grade or trust doctor.
 */
export const SURGEON_ODDS_RATIOS: Readonly<Record<SurgeonGrade, number>> = {
  consultant: 1,
  'associate-specialist': 0.87,
  'specialty-doctor': 0.36,
  fellow: 1.65,
  registrar: 1.6,
  trainee: 3.73,
}

/** Later national rates that the same model is carried to. */
export const LATER_RATES = [
  { baseRate: 'UK 2016–22, 1.01 %', rate: 0.0101, source: 'Sim PY et al. Eye 2024;38:3495-3503' },
  { baseRate: 'UK 2023–24, 0.69 %', rate: 0.0069, source: 'Royal College of Ophthalmologists, national audit figures 2023-24' },
] as const

const DOUBTFUL: Partial<Record<SurgeonGrade, string>> = {
  'specialty-doctor': 'doubtfully recalled: never to be read as "safer than a consultant"',
  'associate-specialist': 'recalled with medium confidence',
  fellow: 'recalled with medium confidence',
}

export const CAPSULE_RUPTURE_ODDS_2009: PublishedModel = {
  id: 'capsule-rupture-odds-2009',
  about: 'Capsule rupture',
  model: '2001–06 odds model',
  population: '55,567 cataract operations by 406 surgeons in 12 UK trusts',
  years: '2001–06',
  source: {
    cite: 'Narendran N, Jaycock P, Johnston RL, et al. Eye 2009;23:31-37',
    year: 2009,
    sureness: 'memory',
  },
  coefficients: [
    {
      name: 'probability of the reference patient',
      value: BASE_PROBABILITY,
      sureness: 'memory',
      note: 'the abstract says "less than 0.75 %": an upper bound',
    },
    { name: 'audit rate', value: AUDIT_RATE, sureness: 'secondary' },
    ...AGE_LEVELS.map(({ level, oddsRatio }) => ({
      name: `odds ratio, age ${level}`,
      value: oddsRatio,
      sureness: 'memory' as const,
    })),
    {
      name: 'odds ratio, male',
      value: SEX_LEVELS.male,
      sureness: 'secondary',
      note: '95 % CI 1.13 to 1.45; quoted in Okada M, Shalchi Z, Hamilton R, Whiting C, response of 25 October 2017 to Br J Ophthalmol 2017;101:1466',
    },
    ...PUPIL_LEVELS.map(({ level, oddsRatio }) => ({
      name: `odds ratio, ${level} pupil`,
      value: oddsRatio,
      sureness: 'memory' as const,
    })),
    { name: 'pupil called small up to', value: 3, unit: 'mm', sureness: 'convention' },
    { name: 'pupil called medium up to', value: 6, unit: 'mm', sureness: 'convention' },
    ...Object.entries(YES_ODDS_RATIOS).map(([name, value]) => ({
      name: `odds ratio, ${name}`,
      value,
      sureness: 'memory' as const,
    })),
    ...Object.entries(SURGEON_ODDS_RATIOS).map(([grade, value]) => {
      const note = DOUBTFUL[grade as SurgeonGrade]
      return {
        name: `odds ratio, surgeon ${grade}`,
        value,
        sureness: 'memory' as const,
        ...(note === undefined ? {} : { note }),
      }
    }),
    ...LATER_RATES.map(({ baseRate, rate, source }) => ({
      name: `later rate, ${baseRate}`,
      value: rate,
      sureness: 'read' as const,
      note: source,
    })),
  ],
}
