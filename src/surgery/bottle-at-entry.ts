import type { PublishedModel } from '../terms/published-model.js'
import type { SurgeryStatement } from '../terms/surgery-statement.js'
import { cmH2O } from '../terms/units.js'
import { mmHgFromCmH2O } from './infusion-pressure.js'
import type { SurgeryInput } from './surgery-input.js'

/** Lower than this at entry: the upper limit of what this project calls low. */
export const ENTRY_BELOW_CM = 60
const LONG_EYE_FROM_MM = 26

export const BOTTLE_AT_ENTRY: PublishedModel = {
  id: 'bottle-at-entry',
  about: 'Bottle at entry',
  model: 'reduced infusion at entry',
  population: 'long or vitrectomised eyes',
  years: 'common practice',
  source: { cite: 'common practice, no source', sureness: 'convention' },
  coefficients: [{ name: 'bottle at entry below', value: ENTRY_BELOW_CM, unit: 'cm', sureness: 'convention' }],
}

/** Whether to enter a long or vitrectomised eye with the bottle lowered, and to raise it once the chamber is steady. */
export function bottleAtEntryFigure({ axialLengthMm, previousVitrectomy }: SurgeryInput): SurgeryStatement {
  const base = { id: BOTTLE_AT_ENTRY.id, about: BOTTLE_AT_ENTRY.about, step: 'nucleus', source: BOTTLE_AT_ENTRY.source } as const
  const long = axialLengthMm === undefined ? undefined : axialLengthMm >= LONG_EYE_FROM_MM
  if (long === true || previousVitrectomy === true) {
    const pressure = mmHgFromCmH2O(cmH2O(ENTRY_BELOW_CM))
    const why = long === true ? 'long eye' : 'vitrectomised eye'
    return {
      ...base,
      words: `Enter with the bottle lowered, below ${ENTRY_BELOW_CM} cm (${Math.round(pressure)} mmHg), ${why}; lift the iris off the capsule if the chamber deepens; raise it once the chamber is steady, flow and vacuum matched (common practice)`,
      values: [
        { name: 'bottle at entry, below', value: ENTRY_BELOW_CM, unit: 'cmH2O' },
        { name: 'static pressure at that height', value: pressure, unit: 'mmHg' },
      ],
    }
  }
  const unknown = long === undefined || previousVitrectomy === undefined
  return {
    ...base,
    words: unknown
      ? `Bottle at entry: lower it in a long or vitrectomised eye; ${long === undefined ? 'axial length' : 'previous vitrectomy'} not stated`
      : 'Bottle at entry: no stated reason to lower it more than usual',
    values: [],
  }
}
