import { computed, type Outcome } from '../terms/outcome.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { RiskStatement } from '../terms/risk-statement.js'
import type { RiskInput } from './risk-input.js'
import { SURGEON_GRADE_WORDS } from './risk-input.js'
import { outsideScoreDomain, type ScoreReading, scoreItems, scoreOf } from './score-items.js'
import { refusedStatement, statementOf } from './statement-of.js'

export const POINTS_2020 = {
  'dense, white or brunescent lens': 3,
  pseudoexfoliation: 3,
  phacodonesis: 3,
  'previous vitrectomy': 3,
  'only eye': 3,
  'alpha blocker': 2,
  'age over 88': 1,
  'corneal scar': 1,
  'ametropia over 6 D': 1,
  'posterior capsule plaque': 1,
  'posterior polar cataract': 1,
  'anterior chamber under 2.5 mm': 1,
  'pupil under 3 mm': 1,
  'poor access': 1,
} as const

/** Above this score the authors keep the operation for a surgeon of consultant level. */
export const CONSULTANT_ABOVE = 3

export const SURGEON_SCORE_2020: PublishedModel = {
  id: 'surgeon-score-2020',
  about: 'Who should operate',
  model: 'New Zealand score',
  population: '500 operations in Auckland, score used prospectively',
  years: '2020',
  source: {
    cite: 'Han JV, Patel DV, Liu K, et al. Clin Exp Ophthalmol 2020;48:311-318',
    year: 2020,
    sureness: 'secondary',
  },
  coefficients: [
    ...Object.entries(POINTS_2020).map(([name, value]) => ({
      name: `points, ${name}`,
      value,
      sureness: 'secondary' as const,
    })),
    { name: 'consultant-level surgeon above', value: CONSULTANT_ABOVE, unit: 'points', sureness: 'read' },
    { name: 'capsule rupture with the score in use', value: 0.8, unit: '%', sureness: 'read' },
    { name: 'any complication with the score in use', value: 3, unit: '%', sureness: 'read' },
  ],
}

/**
 * The New Zealand integer score, from the stated items, and how many points the unstated ones could add.
 * Domain: the readings of `RiskInput` within their plausible ranges. Source: Han JV et al. 2020.
 */
export function surgeonScore(input: RiskInput): Outcome<ScoreReading> {
  return outsideScoreDomain(input) ?? computed(scoreOf(scoreItems(input), POINTS_2020))
}

/** Whether the score asks for a surgeon of consultant level; unstated items that would tip it are named. */
export function surgeonScoreStatement(input: RiskInput): RiskStatement {
  const outcome = surgeonScore(input)
  if (outcome.kind === 'outside-domain') return refusedStatement(SURGEON_SCORE_2020, outcome)
  const { score, couldAdd, used, unstated } = outcome.value
  if (used.length === 0) {
    return statementOf(SURGEON_SCORE_2020, {
      factorsUnstated: unstated.map(({ item, points }) => ({ factor: item, wouldChange: `${points} points if present` })),
      words: 'Who should operate, New Zealand score 2020: no score, none of its items is stated',
    })
  }
  const above = score > CONSULTANT_ABOVE
  const couldTip = !above && score + couldAdd > CONSULTANT_ABOVE
  const verdict = above
    ? 'above 3, a surgeon of consultant level is advised'
    : couldTip
      ? 'not above 3 by what is stated, but unstated items could take it there'
      : 'not above 3'

  return statementOf(SURGEON_SCORE_2020, {
    ...(input.surgeonGrade === undefined ? {} : { surgeon: SURGEON_GRADE_WORDS[input.surgeonGrade] }),
    band: { words: verdict },
    factorsUsed: used.map(({ item, level, points }) => ({ factor: item, level, effect: `${points} points` })),
    factorsUnstated: unstated.map(({ item, points }) => ({
      factor: item,
      wouldChange: `${points} more, score ${score + points}${!above && score + points > CONSULTANT_ABOVE ? ': consultant level' : ''}`,
    })),
    words: `Who should operate: New Zealand score ${unstated.length > 0 ? 'at least ' : ''}${score}, ${verdict} (2020)`,
    caveats: [
      'Experts scoring again found more high-risk eyes (32 against 20 in 100): take chamber depth from biometry and density from a photograph',
      'The score advises on the surgeon; it is not a probability',
      ...used.flatMap(({ note }) => (note ? [note] : [])),
    ],
    working: {
      inputs: used.map(({ item, level }) => ({ name: item, value: level })),
      steps: [
        ...used.map(({ item, points }) => ({ name: item, value: points, unit: 'points' })),
        { name: 'score', value: score, unit: 'points' },
        { name: 'most the unstated items could add', value: couldAdd, unit: 'points' },
      ],
      equation: 'score = sum of the points; above 3: surgeon of consultant level',
      source: SURGEON_SCORE_2020.source,
    },
  })
}
