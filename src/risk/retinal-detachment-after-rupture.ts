import { frequency, frequencyRange } from '../terms/frequency.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { RiskStatement } from '../terms/risk-statement.js'
import { firstStatedOutside } from '../terms/stated-domain.js'
import { AXIAL_LENGTH_DOMAIN } from './input-domain.js'
import type { RiskInput } from './risk-input.js'
import { refusedStatement, statementOf } from './statement-of.js'

/** Shares as printed, per cent, with 95 % confidence limits; days to retinal surgery. */
export const AFTER_RUPTURE_2016 = {
  rupturePercent: 3.27,
  ruptureLowPercent: 2.37,
  ruptureHighPercent: 4.5,
  intactPercent: 0.16,
  intactLowPercent: 0.13,
  intactHighPercent: 0.19,
  medianDaysToSurgery: 44,
} as const

export const RETINAL_DETACHMENT_AFTER_RUPTURE: PublishedModel = {
  id: 'retinal-detachment-after-capsule-rupture',
  about: 'Retinal detachment after a capsule rupture',
  model: 'UK national database, report 3',
  population: '61,907 eyes, UK, all axial lengths',
  years: '2016',
  source: {
    cite: 'Day AC, Donachie PHJ, Sparrow JM, Johnston RL. Ophthalmology 2016;123:1711-1715',
    year: 2016,
    sureness: 'read',
  },
  coefficients: [
    { name: 'detachment after rupture', value: 3.27, unit: '%', sureness: 'read', note: '2.37 to 4.50' },
    { name: 'detachment without rupture', value: 0.16, unit: '%', sureness: 'read', note: '0.13 to 0.19' },
    { name: 'median time to retinal surgery after rupture', value: 44, unit: 'days', sureness: 'read' },
  ],
}

/** What a rupture would bring on for the retina: measured in the average eye; in a long eye not measured, higher. */
export function detachmentAfterRuptureStatement({ axialLengthMm }: Pick<RiskInput, 'axialLengthMm'>): RiskStatement {
  const outside = firstStatedOutside({ 'axial length': axialLengthMm }, { 'axial length': AXIAL_LENGTH_DOMAIN })
  if (outside) return refusedStatement(RETINAL_DETACHMENT_AFTER_RUPTURE, outside)
  const { rupturePercent, ruptureLowPercent, ruptureHighPercent, intactPercent, medianDaysToSurgery } = AFTER_RUPTURE_2016
  const [low, high] = [ruptureLowPercent / 100, ruptureHighPercent / 100]
  const average = `${frequency(rupturePercent / 100)} (${frequencyRange(low, high)}) in the average eye`
  const known = axialLengthMm !== undefined
  const long = known && axialLengthMm >= 26
  const inThisEye = long ? '; in a long eye not measured, higher' : known ? '' : '; length not stated, higher if long'
  return statementOf(RETINAL_DETACHMENT_AFTER_RUPTURE, {
    band: { low, high, words: `${average}${inThisEye}` },
    factorsUsed: known
      ? [{ factor: 'axial length', level: `${axialLengthMm} mm`, effect: long ? 'higher, size not measured' : 'none' }]
      : [],
    factorsUnstated: known ? [] : [{ factor: 'axial length', wouldChange: 'higher if 26 mm or more, size not measured' }],
    words: `If the capsule ruptures, retinal detachment: ${average}, against ${frequency(intactPercent / 100)} without${inThisEye}; half of the operations by day ${medianDaysToSurgery} (UK, 2016)`,
    caveats: [
      'Vitreous loss is what counts: in one centre no detachment followed a rupture without it (Petousis V et al. Br J Ophthalmol 2016;100:1461-1465)',
    ],
  })
}
