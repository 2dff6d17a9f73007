import type { PublishedModel } from '../terms/published-model.js'
import type { RiskStatement } from '../terms/risk-statement.js'
import { firstStatedOutside } from '../terms/stated-domain.js'
import { AXIAL_LENGTH_DOMAIN } from './input-domain.js'
import { anyOf, type RiskInput, SURGEON_GRADE_WORDS } from './risk-input.js'
import { refusedStatement, statementOf } from './statement-of.js'

/** Odds ratios that the abstract prints, with their 95 % confidence limits. */
export const ODDS_RATIOS_2024 = {
  'less experienced trainee surgeon': { oddsRatio: 3.75, low: 3.33, high: 4.24 },
  'pseudoexfoliation or phacodonesis': { oddsRatio: 3.47, low: 3.05, high: 3.94 },
  'younger man': { oddsRatio: 3.05, low: 2.23, high: 4.16 },
  'brunescent, white or mature cataract': { oddsRatio: 2.41, low: 2.24, high: 2.6 },
} as const
export type Factor2024 = keyof typeof ODDS_RATIOS_2024

export const CAPSULE_RUPTURE_MODEL_2024: PublishedModel = {
  id: 'capsule-rupture-model-2024',
  about: 'Capsule rupture, factors',
  model: '2016–22 national risk model (factors only)',
  population: '961,208 cataract operations by 3,198 surgeons in 136 UK centres',
  years: '2016–22',
  source: {
    cite: 'Sim PY, Donachie PHJ, Day AC, Buchan JC. Eye 2024;38:3495-3503',
    year: 2024,
    sureness: 'read',
  },
  coefficients: Object.entries(ODDS_RATIOS_2024).map(([name, { oddsRatio, low, high }]) => ({
    name: `odds ratio, ${name}`,
    value: oddsRatio,
    sureness: 'read' as const,
    note: `95 % confidence limits ${low} to ${high}`,
  })),
}

/** Factors that the abstract names as significant without their size, and whether this eye has them. */
const named = (input: RiskInput): readonly (readonly [string, boolean | undefined])[] => [
  ['glaucoma', input.glaucoma],
  ['previous intravitreal therapy', input.intravitrealInjections === undefined ? undefined : input.intravitrealInjections > 0],
  ['high myopia', input.axialLengthMm === undefined ? undefined : input.axialLengthMm > 26],
  ['previous vitrectomy', input.previousVitrectomy],
  ['diabetes', input.diabetes === undefined ? undefined : input.diabetes !== 'none'],
  ['amblyopia', input.amblyopia],
  ['unable to lie flat', input.canLieFlat === undefined ? undefined : !input.canLieFlat],
]

/**
 * What the newest national model says of the stated factors. Its intercept and most odds ratios were not seen in
 * print, and the age at which a man counts as younger was not: so it names factors and gives no probability.
 */
export function capsuleRuptureModel2024Statement(input: RiskInput): RiskStatement {
  const outside = firstStatedOutside({ 'axial length': input.axialLengthMm }, { 'axial length': AXIAL_LENGTH_DOMAIN })
  if (outside) return refusedStatement(CAPSULE_RUPTURE_MODEL_2024, outside)
  const known: readonly (readonly [Factor2024, boolean | undefined])[] = [
    ['less experienced trainee surgeon', input.surgeonGrade === undefined ? undefined : input.surgeonGrade === 'trainee'],
    ['pseudoexfoliation or phacodonesis', anyOf(input.pseudoexfoliation, input.phacodonesis)],
    ['brunescent, white or mature cataract', input.denseOrWhite],
  ]
  const sizes = known.filter(([, present]) => present === true).map(([factor]) => factor)
  const sizeless = named(input)
    .filter(([, present]) => present === true)
    .map(([factor]) => factor)

  const parts = [
    ...sizes.map((factor) => `${factor} odds × ${ODDS_RATIOS_2024[factor].oddsRatio}`),
    ...sizeless.map((factor) => `${factor} (raises it, size not seen)`),
  ]
  return statementOf(CAPSULE_RUPTURE_MODEL_2024, {
    ...(input.surgeonGrade === undefined ? {} : { surgeon: SURGEON_GRADE_WORDS[input.surgeonGrade] }),
    band: { words: parts.length === 0 ? 'no stated factor of this model' : parts.join('; ') },
    factorsUsed: [
      ...sizes.map((factor) => {
        const { oddsRatio, low, high } = ODDS_RATIOS_2024[factor]
        return { factor, level: 'present', effect: `odds × ${oddsRatio} (${low} to ${high})` }
      }),
      ...sizeless.map((factor) => ({ factor, level: 'present', effect: 'raises it; size not seen in print' })),
    ],
    factorsUnstated: [
      ...known
        .filter(([, present]) => present === undefined)
        .map(([factor]) => ({ factor, wouldChange: `odds × ${ODDS_RATIOS_2024[factor].oddsRatio} if present` })),
      ...named(input)
        .filter(([, present]) => present === undefined)
        .map(([factor]) => ({ factor, wouldChange: 'raises it if present; size not seen in print' })),
    ],
    words: `Capsule rupture in the 2016–22 national model: ${parts.length === 0 ? 'none of its factors is stated' : parts.join('; ')}. Factors only, no probability`,
    caveats: [
      'The full table of this model was not seen: no probability is computed from part of it',
      'Its odds ratios are never multiplied into another model',
      ...(input.sex === 'male'
        ? ['Younger men: odds × 3.05 (2.23 to 4.16); the age limit was not seen, so it is not counted here']
        : []),
    ],
  })
}
