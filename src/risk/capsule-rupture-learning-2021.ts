import { frequency } from '../terms/frequency.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { RiskStatement } from '../terms/risk-statement.js'
import { firstStatedOutside } from '../terms/stated-domain.js'
import { type RiskInput, SURGEON_GRADE_WORDS } from './risk-input.js'
import { refusedStatement, statementOf } from './statement-of.js'

/** Observed rate by the operations done so far, per cent; what lay between the printed steps was not seen. */
export const LEARNING_STEPS = [
  { from: 0, to: 100, percent: 3.1 },
  { from: 301, to: 400, percent: 0.6 },
  { from: 501, to: undefined, percent: 0.4 },
] as const

export const STAGES_OF_RUPTURE = { 'quadrant removal': 44, 'cortex removal': 21.3 } as const

export const CAPSULE_RUPTURE_LEARNING_2021: PublishedModel = {
  id: 'capsule-rupture-learning-2021',
  about: 'Capsule rupture by experience',
  model: 'learning curve of trainees',
  population: '4,303 operations by trainees, 82 ruptures, UK',
  years: '2021',
  source: { cite: 'Grinton M, Sandhu J, Shwe-Tin A, et al. Eye 2021;35:1213-1220', year: 2021, sureness: 'read' },
  coefficients: [
    ...LEARNING_STEPS.map(({ from, to, percent }) => ({
      name: to === undefined ? `operations over ${from - 1}` : `operations ${from} to ${to}`,
      value: percent,
      unit: '%',
      sureness: 'read' as const,
    })),
    ...Object.entries(STAGES_OF_RUPTURE).map(([stage, percent]) => ({
      name: `share of ruptures during ${stage}`,
      value: percent,
      unit: '%',
      sureness: 'read' as const,
    })),
  ],
}

/** What trainees with as many operations behind them had, eyes of all kinds; the two steps where most ruptures happened. */
export function capsuleRuptureLearningStatement(input: Pick<RiskInput, 'surgeonCases' | 'surgeonGrade'>): RiskStatement {
  const domain = { 'operations done': { low: 0, high: 100000, unit: 'operations' } }
  const outside = firstStatedOutside({ 'operations done': input.surgeonCases }, domain)
  if (outside) return refusedStatement(CAPSULE_RUPTURE_LEARNING_2021, outside)
  const cases = input.surgeonCases
  const step =
    cases === undefined ? undefined : LEARNING_STEPS.find(({ from, to }) => cases >= from && (to === undefined || cases <= to))
  const stages = 'of 82 ruptures 44 % in quadrant removal, 21 % in cortex removal (UK trainees, 2021)'
  const surgeon = input.surgeonGrade === undefined ? {} : { surgeon: SURGEON_GRADE_WORDS[input.surgeonGrade] }
  if (cases === undefined) {
    return statementOf(CAPSULE_RUPTURE_LEARNING_2021, {
      ...surgeon,
      factorsUnstated: [
        { factor: 'operations done', wouldChange: `${frequency(0.031)} in the first 100, ${frequency(0.004)} after 500` },
      ],
      words: `Capsule rupture by experience: number of operations not stated; ${stages}`,
    })
  }
  const rate = step === undefined ? undefined : step.percent / 100
  return statementOf(CAPSULE_RUPTURE_LEARNING_2021, {
    ...surgeon,
    ...(rate === undefined
      ? { band: { words: `between ${frequency(0.004)} and ${frequency(0.031)}, step not seen` } }
      : { value: rate }),
    factorsUsed: [
      { factor: 'operations done', level: String(cases), effect: rate === undefined ? 'step not seen' : frequency(rate) },
    ],
    words: `Capsule rupture by experience, ${cases} operations done: ${rate === undefined ? `between ${frequency(0.004)} and ${frequency(0.031)}` : frequency(rate)} among trainees, eyes of all kinds; ${stages}`,
    caveats: ['Eyes chosen for trainees, not hard ones: this eye is not among them'],
  })
}
