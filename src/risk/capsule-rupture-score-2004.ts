import { frequency, frequencyRange } from '../terms/frequency.js'
import { computed, type Outcome } from '../terms/outcome.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { RiskStatement } from '../terms/risk-statement.js'
import type { RiskInput } from './risk-input.js'
import { outsideScoreDomain, type ScoreReading, scoreItems, scoreOf } from './score-items.js'
import { refusedStatement, statementOf } from './statement-of.js'
import { wilsonInterval } from './wilson-interval.js'

/** Observed in 1,000 operations, by score group; rates as printed, in per cent. */
export const OBSERVED_2004 = [
  {
    from: 0,
    group: '0 points',
    operations: 579,
    anyComplicationPercent: 4.32,
    capsuleRupturePercent: 1.55,
    vitreousLossPercent: 1.04,
  },
  {
    from: 1,
    group: '1 to 2 points',
    operations: 255,
    anyComplicationPercent: 7.45,
    capsuleRupturePercent: 1.57,
    vitreousLossPercent: 0.39,
  },
  {
    from: 3,
    group: '3 to 5 points',
    operations: 141,
    anyComplicationPercent: 13.48,
    capsuleRupturePercent: 4.96,
    vitreousLossPercent: 5.67,
  },
  {
    from: 6,
    group: '6 points or more',
    operations: 25,
    anyComplicationPercent: 32,
    capsuleRupturePercent: 8,
    vitreousLossPercent: 8,
  },
] as const
export type ScoreGroup = (typeof OBSERVED_2004)[number]

export const POINTS_2004 = {
  'previous vitrectomy': 1,
  'corneal scar': 1,
  'pupil under 3 mm': 1,
  'anterior chamber under 2.5 mm': 1,
  'age over 88': 1,
  'ametropia over 6 D': 1,
  'posterior capsule plaque': 1,
  'posterior polar cataract': 1,
  'poor access': 1,
  'dense, white or brunescent lens': 3,
  pseudoexfoliation: 3,
  phacodonesis: 3,
} as const

export const CAPSULE_RUPTURE_SCORE_2004: PublishedModel = {
  id: 'capsule-rupture-score-2004',
  about: 'Capsule rupture',
  model: '2004 integer score',
  population: '1,000 operations in one UK centre, all by phacoemulsification',
  years: '2004',
  source: { cite: 'Muhtaseb M, Kalhoro A, Ionides A. Br J Ophthalmol 2004;88:1242-1246', year: 2004, sureness: 'read' },
  coefficients: [
    ...Object.entries(POINTS_2004).map(([name, value]) => ({ name: `points, ${name}`, value, sureness: 'read' as const })),
    ...OBSERVED_2004.flatMap(({ group, operations, capsuleRupturePercent }) => [
      { name: `operations, ${group}`, value: operations, sureness: 'read' as const },
      { name: `capsule rupture, ${group}`, value: capsuleRupturePercent, unit: '%', sureness: 'read' as const },
    ]),
  ],
}

/** The group of a score, whole points from 0. */
export function scoreGroup(score: number): ScoreGroup {
  return OBSERVED_2004.findLast(({ from }) => score >= from) ?? OBSERVED_2004[0]
}

/**
 * The integer score of 2004, from the stated items alone, and how many points the unstated ones could add.
 * Domain: the readings of `RiskInput` within their plausible ranges. Source: Muhtaseb M et al. 2004, table 1.
 */
export function capsuleRuptureScore(input: RiskInput): Outcome<ScoreReading> {
  return outsideScoreDomain(input) ?? computed(scoreOf(scoreItems(input), POINTS_2004))
}

/** The observed rate of the score's group, with its 95 % interval (six points or more were 25 eyes). */
export function capsuleRuptureScoreStatement(input: RiskInput): RiskStatement {
  const outcome = capsuleRuptureScore(input)
  if (outcome.kind === 'outside-domain') return refusedStatement(CAPSULE_RUPTURE_SCORE_2004, outcome)
  const { score, used, unstated } = outcome.value
  if (used.length === 0) {
    return statementOf(CAPSULE_RUPTURE_SCORE_2004, {
      factorsUnstated: unstated.map(({ item, points }) => ({ factor: item, wouldChange: `${points} points if present` })),
      words: 'Capsule rupture, integer score 2004: no figure, none of its items is stated',
    })
  }
  const group = scoreGroup(score)
  const rate = group.capsuleRupturePercent / 100
  const events = Math.round(rate * group.operations)
  const interval = wilsonInterval(events, group.operations)
  const atLeast = unstated.length > 0 ? 'at least ' : ''
  const range = interval.kind === 'computed' ? frequencyRange(interval.value.low, interval.value.high) : ''
  const small = group.operations < 100 ? ` (${events} of ${group.operations} eyes; 95 % interval ${range})` : ''

  return statementOf(CAPSULE_RUPTURE_SCORE_2004, {
    value: rate,
    ...(interval.kind === 'computed'
      ? { band: { ...interval.value, words: `${range}: 95 % interval of ${events} in ${group.operations} operations` } }
      : {}),
    factorsUsed: used.map(({ item, level, points }) => ({ factor: item, level, effect: `${points} points` })),
    factorsUnstated: unstated.map(({ item, points }) => {
      const then = scoreGroup(score + points)
      const moved = then === group ? 'same group' : `${frequency(then.capsuleRupturePercent / 100)}, ${then.group}`
      return { factor: item, wouldChange: `${points} more, score ${score + points} (${moved})` }
    }),
    words: `Capsule rupture, integer score ${atLeast}${score}: ${frequency(rate)} observed in 2004 in the group with ${group.group}${small}`,
    caveats: [
      'Observed rates of one centre: the surgeon is not in this score',
      ...(atLeast ? ['Unstated items are left out, not taken as absent: each could only raise the score'] : []),
      ...used.flatMap(({ note }) => (note ? [note] : [])),
    ],
    working: {
      inputs: used.map(({ item, level }) => ({ name: item, value: level })),
      steps: [
        ...used.map(({ item, points }) => ({ name: item, value: points, unit: 'points' })),
        { name: 'score', value: score, unit: 'points' },
        { name: 'capsule ruptures in the group', value: events },
        { name: 'operations in the group', value: group.operations },
      ],
      equation: 'score = sum of the points; the rate is the one observed in the group of that score; interval by Wilson 1927',
      source: CAPSULE_RUPTURE_SCORE_2004.source,
    },
  })
}
