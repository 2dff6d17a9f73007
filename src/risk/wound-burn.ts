import { frequency, frequencyRange } from '../terms/frequency.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { RiskStatement } from '../terms/risk-statement.js'
import type { RiskInput } from './risk-input.js'
import { statementOf } from './statement-of.js'

/** Counts as printed by the two surveys. */
export const WOUND_BURN_2006 = { events: 75, operations: 76581, duringFragmentsPercent: 71, duringSculptingPercent: 28 } as const
export const WOUND_BURN_2012 = { events: 341, operations: 920095, fallPerDoublingPercent: 45 } as const

export const WOUND_BURN: PublishedModel = {
  id: 'wound-burn',
  about: 'Wound burn',
  model: 'two surveys of surgeons',
  population: '76,581 operations (2006); 920,095 operations (2012)',
  years: '2006 and 2012',
  source: {
    cite: 'Bradley MJ, Olson RJ. Am J Ophthalmol 2006;141:222-224; Sorensen T et al. J Cataract Refract Surg 2012;38:227-233',
    year: 2012,
    sureness: 'secondary',
  },
  coefficients: [
    { name: 'burns, 2006', value: WOUND_BURN_2006.events, sureness: 'read' },
    { name: 'operations, 2006', value: WOUND_BURN_2006.operations, sureness: 'read' },
    { name: 'share during fragment removal, 2006', value: 71, unit: '%', sureness: 'read' },
    { name: 'burns, 2012', value: WOUND_BURN_2012.events, sureness: 'secondary' },
    { name: 'operations, 2012', value: WOUND_BURN_2012.operations, sureness: 'secondary' },
    { name: 'fall with each doubling of volume, 2012', value: 45, unit: '%', sureness: 'secondary' },
    { name: 'divide and conquer or stop and chop, at least times', value: 2, sureness: 'secondary' },
  ],
}

const MANUAL = new Set(['manual-small-incision', 'extracapsular'])

/** How often a wound burns, what raises it in this operation, and the step at which it happens. */
export function woundBurnStatement({ nucleusBand, technique }: Pick<RiskInput, 'nucleusBand' | 'technique'>): RiskStatement {
  if (technique !== undefined && MANUAL.has(technique)) {
    return statementOf(WOUND_BURN, {
      factorsUsed: [{ factor: 'technique', level: technique, effect: 'no ultrasound' }],
      words: 'Wound burn: no ultrasound in the planned technique; applies if it is used after all (surveys 2006 and 2012)',
    })
  }
  const low = WOUND_BURN_2012.events / WOUND_BURN_2012.operations
  const high = WOUND_BURN_2006.events / WOUND_BURN_2006.operations
  const dense = nucleusBand === 'hard' || nucleusBand === 'very-hard' || nucleusBand === 'black'
  const divides = technique === 'divide-and-conquer' || technique === 'stop-and-chop'
  const raised = [
    ...(dense ? ['hard nucleus (longer ultrasound; no number)'] : []),
    ...(divides ? ['planned technique, at least twice that of other chops (2012)'] : []),
  ]
  return statementOf(WOUND_BURN, {
    band: { low, high, words: `${frequencyRange(low, high)}, all eyes` },
    factorsUsed: [
      ...(dense ? [{ factor: 'nucleus', level: nucleusBand, effect: 'raises it, no number' }] : []),
      ...(divides ? [{ factor: 'technique', level: technique, effect: 'at least × 2 against other chops' }] : []),
    ],
    factorsUnstated: [
      ...(nucleusBand === undefined ? [{ factor: 'density of the nucleus', wouldChange: 'raises it if hard, no number' }] : []),
      ...(technique === undefined
        ? [{ factor: 'technique', wouldChange: 'at least × 2 if divide and conquer or stop and chop' }]
        : []),
    ],
    words: `Wound burn: ${frequency(low)} (2012) to ${frequency(high)} (2006) in all eyes${raised.length === 0 ? '' : `; raised by: ${raised.join(', ')}`}; ${WOUND_BURN_2006.duringFragmentsPercent} % during fragment removal. Aspirate a working space in the viscoelastic before ultrasound`,
    caveats: [
      'Surveys of surgeons: burns may be under-reported',
      'A burn leaves 7 to 15 D of astigmatism (Sugar A, Schertzer RM. J Cataract Refract Surg 1999;25:688-692)',
    ],
  })
}
