import { frequency, frequencyRangeShort, frequencyShort } from '../terms/frequency.js'
import type { RiskStatement } from '../terms/risk-statement.js'
import {
  type CapsuleRuptureInput,
  type CapsuleRuptureOdds,
  capsuleRuptureOdds,
  type FactorUnstated,
  oddsOf,
  probabilityForOddsRatio,
} from './capsule-rupture-odds-2009.js'
import {
  AUDIT_RATE,
  BASE_PROBABILITY,
  LATER_RATES,
  LONG_EYE_FROM_MM,
  CAPSULE_RUPTURE_ODDS_2009 as MODEL,
  SURGEON_ODDS_RATIOS,
  YES_ODDS_RATIOS,
} from './capsule-rupture-odds-table.js'
import { SURGEON_GRADE_WORDS, type SurgeonGrade } from './risk-input.js'
import { refusedStatement, statementOf } from './statement-of.js'

const GRADES = Object.keys(SURGEON_ODDS_RATIOS) as SurgeonGrade[]

const recalibratedWords = (odds: CapsuleRuptureOdds, grade: SurgeonGrade): string => {
  const values = odds.byGrade[grade].recalibrated
  return frequencyRangeShort(Math.min(...values), Math.max(...values))
}

/** "14 to 21 in 100 if present": the published-era figure with this factor added to those stated. */
function wouldChange({ levels }: FactorUnstated, oddsRatio: number): string {
  const now = frequency(probabilityForOddsRatio(oddsRatio))
  const then = levels.map(({ level, oddsRatio: added }) => `${frequency(probabilityForOddsRatio(oddsRatio * added))} if ${level}`)
  return `from ${now} to ${then.join(', ')}`
}

function caveatsOf(input: CapsuleRuptureInput, odds: CapsuleRuptureOdds, grade: SurgeonGrade): string[] {
  const caveats = [
    'The odds table is recalled, awaits a check in print',
    'Recalibration scales the same model to later national rates; it is rough and takes no account of case mix',
    'The base of 0.75 % is an upper bound ("less than 0.75 %")',
    'In 100 hard cases one surgeon predicted 5 ruptures with this model and saw 1 (letter, Eye 2011): it may read high for experienced hands today',
  ]
  if (odds.unstated.length > 0) {
    caveats.push('Unstated factors are left out, not taken as absent: each of them could only raise this figure')
  }
  if (input.axialLengthMm !== undefined && input.axialLengthMm >= LONG_EYE_FROM_MM) {
    const without = probabilityForOddsRatio(
      (odds.patientOddsRatio * SURGEON_ODDS_RATIOS[grade]) / YES_ODDS_RATIOS['axial length 26.0 mm or more'],
    )
    caveats.push(`Whether length raises capsule rupture is contested: without its factor of 1.47, ${frequency(without)}`)
  }
  if (input.pupilDilatedMm !== undefined) {
    caveats.push('The audit recorded the pupil in words; small up to 3 mm and medium up to 6 mm is a convention')
  }
  if (input.alphaBlocker === 'current') {
    caveats.push('The alpha blocker of the audit was doxazosin (from memory); every alpha blocker is counted as that one')
  }
  if (input.alphaBlocker === 'past') caveats.push('Past use of an alpha blocker is not in this model')
  if (grade === 'specialty-doctor') {
    caveats.push('The factor of 0.36 for a specialty doctor is doubtfully recalled: read the consultant figure beside it')
  }
  return caveats
}

/**
 * The 2001–06 odds model as a statement: for the surgeon who operates first, the other grades beside, the same model
 * at two later national rates. Grade not stated: the consultant's figure, and the range up to a trainee.
 */
export function capsuleRuptureOddsStatement(input: CapsuleRuptureInput): RiskStatement {
  const outcome = capsuleRuptureOdds(input)
  if (outcome.kind === 'outside-domain') return refusedStatement(MODEL, outcome)
  const odds = outcome.value

  if (odds.used.length === 0) {
    return statementOf(MODEL, {
      surgeon: input.surgeonGrade === undefined ? 'not stated' : SURGEON_GRADE_WORDS[input.surgeonGrade],
      factorsUnstated: odds.unstated.map(({ factor, levels }) => ({
        factor,
        wouldChange: levels.map(({ level, oddsRatio }) => `odds × ${oddsRatio} if ${level}`).join(', '),
      })),
      words: 'Capsule rupture, 2001–06 odds model: no figure, none of its facts about this eye is stated',
    })
  }

  const grade = input.surgeonGrade ?? 'consultant'
  const value = odds.byGrade[grade].published
  const composite = odds.patientOddsRatio * SURGEON_ODDS_RATIOS[grade]
  const consultant = odds.byGrade.consultant.published
  const trainee = odds.byGrade.trainee.published
  const recalibratedTo = 'recalibrated to UK rates of 2016–24'

  const stated = input.surgeonGrade !== undefined
  const who = stated ? SURGEON_GRADE_WORDS[grade] : 'surgeon not stated'
  const beside =
    !stated || grade === 'consultant'
      ? ''
      : ` (consultant ${frequencyShort(consultant)}, ${recalibratedWords(odds, 'consultant')})`
  const open = odds.unstated.length
  const left = open === 0 ? '' : `; ${open} ${open === 1 ? 'factor' : 'factors'} not stated, which could only raise it`
  const words = stated
    ? `Capsule rupture, ${who}: ${frequency(value)} by the 2001–06 odds model, ${recalibratedWords(odds, grade)} ${recalibratedTo}${beside}${left}`
    : `Capsule rupture, ${who}: by the 2001–06 odds model consultant ${frequency(consultant)}, registrar ${frequencyShort(odds.byGrade.registrar.published)}, trainee ${frequencyShort(trainee)}; ${recalibratedTo}: ${recalibratedWords(odds, 'consultant')}, ${recalibratedWords(odds, 'registrar')}, ${recalibratedWords(odds, 'trainee')}${left}`

  return statementOf(MODEL, {
    surgeon: stated ? who : 'not stated',
    value,
    ...(stated
      ? {}
      : {
          band: {
            low: consultant,
            high: trainee,
            words: `consultant to trainee: ${frequency(consultant)} to ${frequency(trainee)}`,
          },
        }),
    recalibrated: LATER_RATES.map(({ baseRate }, index) => ({
      baseRate,
      value: odds.byGrade[grade].recalibrated[index] ?? value,
    })),
    otherSurgeons: GRADES.filter((other) => other !== grade).map((other) => ({
      surgeon: SURGEON_GRADE_WORDS[other],
      value: odds.byGrade[other].published,
    })),
    factorsUsed: [
      ...odds.used.map(({ factor, level, oddsRatio }) => ({ factor, level, effect: `odds × ${oddsRatio}` })),
      ...(stated ? [{ factor: 'surgeon', level: who, effect: `odds × ${SURGEON_ODDS_RATIOS[grade]}` }] : []),
    ],
    factorsUnstated: [
      ...odds.unstated.map((unstated) => ({ factor: unstated.factor, wouldChange: wouldChange(unstated, composite) })),
      ...(stated
        ? []
        : [
            {
              factor: 'surgeon',
              wouldChange: `from ${frequency(consultant)} to ${frequency(odds.byGrade.registrar.published)} if a registrar, ${frequency(trainee)} if a trainee in the first years`,
            },
          ]),
    ],
    words,
    caveats: caveatsOf(input, odds, grade),
    working: {
      inputs: odds.used.map(({ factor, level }) => ({ name: factor, value: level })),
      steps: [
        { name: 'odds of the reference patient', value: oddsOf(BASE_PROBABILITY) },
        ...odds.used.map(({ factor, oddsRatio }) => ({ name: `odds ratio, ${factor}`, value: oddsRatio })),
        { name: `odds ratio, surgeon (${SURGEON_GRADE_WORDS[grade]})`, value: SURGEON_ODDS_RATIOS[grade] },
        { name: 'composite odds ratio', value: composite },
        { name: 'probability', value },
        ...LATER_RATES.map(({ baseRate, rate }) => ({
          name: `odds scaled to ${baseRate} by`,
          value: oddsOf(rate) / oddsOf(AUDIT_RATE),
        })),
      ],
      equation: 'odds = 0.0075 / 0.9925 × product of the odds ratios; probability = odds / (1 + odds)',
      source: MODEL.source,
    },
  })
}
