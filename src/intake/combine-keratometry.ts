import type { Case } from '../case/case.js'
import { CORNEAL_POWER, STANDARD_KERATOMETRIC_INDEX } from '../terms/quantities.js'
import type { SourcedFact } from './combine.js'
import type { CornealReading, Fault } from './reading.js'

type Keratometry = NonNullable<Case['keratometry']>['value']

export interface CornealResult {
  readonly value?: Keratometry
  readonly assumed?: string
  readonly faults: readonly Fault[]
}

interface Power {
  readonly part: CornealReading['part']
  readonly powerD: number
  readonly axisDeg?: number
}

const round = (value: number): number => Number(value.toFixed(4))
/** Corneal power at the standard index, from a radius in mm or a power at another index. */
function standardPower(reading: CornealReading, index: number): number {
  if (reading.unit === 'mm') return round(((STANDARD_KERATOMETRIC_INDEX - 1) * 1000) / reading.given)
  return index === STANDARD_KERATOMETRIC_INDEX
    ? reading.given
    : round((reading.given * (STANDARD_KERATOMETRIC_INDEX - 1)) / (index - 1))
}

const contradiction = (message: string): CornealResult => ({
  faults: [
    {
      kind: 'contradiction',
      field: 'keratometry',
      blocks: true,
      message,
      instead: 'one K1 and one K2 for this eye, such as K1 43.25@5 K2 44.00@95',
    },
  ],
})

/** Two meridians that are far from a right angle are pointed out; they may be right in an irregular cornea. */
function angleFault(flat: Power | undefined, steep: Power | undefined): readonly Fault[] {
  if (flat?.axisDeg === undefined || steep?.axisDeg === undefined) return []
  const apart = Math.abs(flat.axisDeg - steep.axisDeg) % 180
  if (Math.abs(apart - 90) <= 15) return []
  return [
    {
      kind: 'contradiction',
      field: 'keratometry',
      blocks: false,
      message: `the axes ${flat.axisDeg}° and ${steep.axisDeg}° are not at right angles. They are kept: check them.`,
      instead: 'nothing if the cornea is irregular; otherwise axes 90° apart',
    },
  ]
}

/**
 * The corneal power of one eye from all that was said of it. Flat is the smaller power, whichever label it carries.
 * @param index the keratometric index the message names, or undefined
 */
export function combineKeratometry(facts: readonly SourcedFact[], index: number | undefined): CornealResult {
  const readings = facts.flatMap(({ value }) => value as readonly CornealReading[])
  const used = index ?? STANDARD_KERATOMETRIC_INDEX
  const byPart = new Map<string, CornealReading>()
  for (const reading of readings) {
    const before = byPart.get(reading.part)
    if (
      before !== undefined &&
      (before.given !== reading.given || (before.axisDeg ?? reading.axisDeg) !== (reading.axisDeg ?? before.axisDeg))
    ) {
      return contradiction(
        `corneal power is given twice: ${facts.map(({ source, line }) => `"${source}" (line ${line})`).join(' and ')}.`,
      )
    }
    byPart.set(reading.part, reading.axisDeg === undefined && before !== undefined ? before : reading)
  }
  const powers = [...byPart.values()].map(
    (reading): Power => ({
      part: reading.part,
      powerD: standardPower(reading, used),
      ...(reading.axisDeg === undefined ? {} : { axisDeg: reading.axisDeg }),
    }),
  )
  const meridians = powers.filter(({ part }) => part !== 'mean').sort((one, other) => one.powerD - other.powerD)
  const mean = powers.find(({ part }) => part === 'mean')
  if (meridians.length > 2)
    return contradiction(`more than two corneal powers are given: ${facts.map(({ source }) => `"${source}"`).join(', ')}.`)
  const outside = powers.find(({ powerD }) => powerD < CORNEAL_POWER.low || powerD > CORNEAL_POWER.high)
  if (outside !== undefined) {
    return {
      faults: [
        {
          kind: 'out-of-range',
          field: 'keratometry',
          blocks: true,
          message: `corneal power ${outside.powerD.toFixed(2)} D is outside ${CORNEAL_POWER.low} to ${CORNEAL_POWER.high} D.`,
          instead: 'K1 43.25 K2 44.00',
        },
      ],
    }
  }
  const assumptions = assumptionsOf(readings, index)
  const [flat, steep] = meridians
  if (flat !== undefined && steep === undefined && mean === undefined) {
    return {
      faults: [
        {
          kind: 'not-understood',
          field: 'keratometry',
          blocks: false,
          message:
            'one corneal power alone is not the power of the cornea; the other meridian is missing. It is kept as written.',
          instead: 'K1 and K2, or the mean as K 43.50',
        },
      ],
    }
  }
  const meanD = flat !== undefined && steep !== undefined ? round((flat.powerD + steep.powerD) / 2) : mean?.powerD
  if (meanD === undefined) return { faults: [] }
  if (mean !== undefined && steep !== undefined && Math.abs(mean.powerD - meanD) > 0.3) {
    return contradiction(
      `the mean corneal power ${mean.powerD.toFixed(2)} D is not the mean of the two given, ${meanD.toFixed(2)} D.`,
    )
  }
  const both = flat !== undefined && steep !== undefined
  return {
    value: {
      meanD,
      ...(both ? { flatD: flat.powerD, steepD: steep.powerD } : {}),
      ...(both && flat.axisDeg !== undefined ? { flatAxisDeg: flat.axisDeg } : {}),
      ...(both && steep.axisDeg !== undefined ? { steepAxisDeg: steep.axisDeg } : {}),
      indexGiven: used,
    },
    ...(assumptions === '' ? {} : { assumed: assumptions }),
    faults: both ? angleFault(flat, steep) : [],
  }
}

function assumptionsOf(readings: readonly CornealReading[], index: number | undefined): string {
  const notes: string[] = []
  if (readings.some(({ unit }) => unit === 'mm')) notes.push('radius converted at index 1.3375')
  if (readings.some(({ unit }) => unit === 'D')) {
    if (index === undefined) notes.push('index 1.3375 assumed')
    else if (index !== STANDARD_KERATOMETRIC_INDEX) notes.push(`converted from index ${index} to 1.3375`)
  }
  return notes.join('; ')
}
