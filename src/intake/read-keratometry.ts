import { isBroken } from './broken-number.js'
import { bridge, unknownMark } from './marks.js'
import { numberOf, short, signOf } from './numbers.js'
import { matchAt, phrases } from './phrases.js'
import { type CornealPart, type CornealReading, type Fault, fact, type Place, type Reader, tokenAt } from './reading.js'
import { unitAt } from './units-written.js'

type Name = CornealPart | 'pair'

const FORMS: Readonly<Record<Name, readonly string[]>> = {
  first: ['k1', 'r1', 'kv', 'k-1', 'k1 (d)'],
  second: ['k2', 'r2', 'kh', 'k-2'],
  flat: ['k flat', 'flat k', 'kf', 'kflat', 'k-flat', 'r flat', 'rf'],
  steep: ['k steep', 'steep k', 'ksteep', 'k-steep', 'r steep', 'rs'],
  mean: [
    'km',
    'kmean',
    'k mean',
    'mean k',
    'avg k',
    'k avg',
    'average k',
    'k average',
    'kavg',
    'mean keratometry',
    'k m',
    'rm',
    'mean k value',
    'avk',
    'simk mean',
  ],
  pair: [
    'k',
    'ks',
    "k's",
    'kers',
    'keratometry',
    'k1/k2',
    'k1 / k2',
    'sim k',
    'simk',
    'k readings',
    'k reading',
    'keratometry readings',
    'r1/r2',
    'k values',
    'keratometric readings',
    'k1 k2',
    'k1 and k2',
  ],
}
export const KERATOMETRY_FORMS = phrases(
  (Object.keys(FORMS) as Name[]).flatMap((name) => FORMS[name].map((form) => [form, name] as const)),
)
const AXIS_MARKS = new Set(['@', 'x', 'at', 'axis', 'ax', 'on', '/', '×'])

interface PowerFound {
  readonly used: number
  readonly given: number
  readonly unit: 'D' | 'mm'
  readonly radiusAssumed: boolean
  readonly axisDeg?: number
  readonly fault?: Fault
}

const badAxis = (given: string): Fault => ({
  kind: 'out-of-range',
  field: 'keratometry',
  blocks: true,
  message: `axis ${given} is outside 0 to 180 degrees.`,
  instead: 'K1 43.25@5, with the axis between 0 and 180',
})

/** Whether a number after a slash is the other power rather than an axis; undefined where it could be either. */
function isPower(power: number, text: string, powerText: string, unit: 'D' | 'mm'): boolean | undefined {
  if (/[.,]/.test(text)) return true
  if (unit === 'mm') return power < 12
  if (power < 30 || power > 60) return false
  return /[.,]/.test(powerText) ? undefined : true
}

/** "42.5 x 45.9", "43 x 45": where an axis would be written otherwise, either may be meant, and the mean hangs on it. */
function crossed(second: number, text: string, powerText: string, unit: 'D' | 'mm'): false | undefined {
  const inRange = unit === 'D' ? second >= 30 && second <= 60 : second >= 5.5 && second <= 11.5
  const alike = /[.,]/.test(text) || !/[.,]/.test(powerText)
  return inRange && alike ? undefined : false
}

/** How far a power and the radius beside it may be apart, D: they are printed at indices from 1.328 to 1.3375. */
const OTHER_INDEX_D = 1.4

/** "42.61 D / 7.92 mm": the radius beside its power says nothing new, and is no axis. Answers how many tokens it takes, or 0. */
function sameInOtherUnit(place: Place, offset: number, given: number, known: 'D' | 'mm'): number {
  const opening = tokenAt(place, offset)?.text
  const closed = opening === '(' && tokenAt(place, offset + 2)?.kind !== 'number' ? 1 : 0
  if (opening !== '/' && closed === 0) return 0
  const token = tokenAt(place, offset + 1)
  if (token?.kind !== 'number' || !/^\d+[.,]\d+$/.test(token.text)) return 0
  const [powerD, radiusMm] = known === 'D' ? [given, numberOf(token)] : [numberOf(token), given]
  if (!(radiusMm >= 5.5 && radiusMm <= 11.5) || Math.abs(337.5 / radiusMm - powerD) > OTHER_INDEX_D) return 0
  const unit = unitAt(place, offset + 2)
  const length = 2 + (unit?.unit === 'mm' || unit?.unit === 'D' ? unit.used : 0)
  if (closed === 0) return length
  return tokenAt(place, offset + length)?.text === ')' ? length + 1 : 0
}

/** One power or radius with its unit and axis: "43.27@5", "7.85 mm x 175", "43,27/5". */
function powerAt(place: Place, offset: number, unitBefore: 'D' | 'mm' | undefined, pair: boolean): PowerFound | undefined {
  const token = tokenAt(place, offset)
  if (token?.kind !== 'number' || isBroken(place, offset)) return undefined
  let used = 1
  const given = numberOf(token)
  let unit = unitBefore
  const takeUnit = (): void => {
    const found = unitAt(place, offset + used)
    if (found?.unit === 'D' || found?.unit === 'mm') {
      unit = found.unit
      used += found.used
    }
  }
  takeUnit()
  const radiusAssumed = unit === undefined && given >= 5.5 && given <= 11.5
  const known = unit ?? (radiusAssumed ? 'mm' : 'D')
  used += sameInOtherUnit(place, offset + used, given, known)
  const mark = tokenAt(place, offset + used)
  const joined =
    mark !== undefined && AXIS_MARKS.has(mark.lower) ? (tokenAt(place, offset + used + 1)?.lower === 'axis' ? 2 : 1) : 0
  const axis = joined === 0 ? undefined : tokenAt(place, offset + used + joined)
  if (axis?.kind !== 'number') return { used, given, unit: known, radiusAssumed }
  const isCross = mark?.lower === 'x' || mark?.text === '×'
  if ((mark?.text === '/' || isCross) && pair) {
    const other = isCross
      ? crossed(numberOf(axis), axis.text, token.text, known)
      : isPower(numberOf(axis), axis.text, token.text, known)
    if (other === true) return { used, given, unit: known, radiusAssumed }
    if (other === undefined) {
      return {
        used: used + 2,
        given,
        unit: known,
        radiusAssumed,
        fault: {
          kind: 'ambiguous',
          field: 'keratometry',
          blocks: true,
          message: `${axis.text} after "${mark?.text}" can be an axis or the other power.`,
          instead: `K1 ${token.text}@${axis.text} for an axis, or K1 ${token.text} K2 ${/[.,]/.test(axis.text) ? axis.text : `${axis.text}.0`} for a power`,
        },
      }
    }
  }
  used += joined + 1
  const degrees = unitAt(place, offset + used)
  if (degrees?.unit === '°') used += degrees.used
  takeUnit()
  const axisDeg = numberOf(axis)
  if (axisDeg < 0 || axisDeg > 180 || signOf(axis) === '-')
    return { used, given, unit: known, radiusAssumed, fault: badAxis(axis.text) }
  return { used, given, unit: known, radiusAssumed, axisDeg }
}

const outOfRange = (given: number, unit: 'D' | 'mm', text: string): Fault | undefined => {
  if (text.startsWith('-') || text.startsWith('+')) {
    return {
      kind: 'sign',
      field: 'keratometry',
      blocks: true,
      message: `corneal power ${text} has a sign; it has none.`,
      instead: 'K1 43.25 K2 44.00',
    }
  }
  const [low, high] = unit === 'D' ? [30, 60] : [5.6, 11.3]
  if (given >= low && given <= high) return undefined
  const tenth = [given / 10, given / 100, given * 10].find((one) => one >= low && one <= high)
  const guess = tenth === undefined ? '' : ` Did you mean ${short(tenth, 2)} ${unit}?`
  return {
    kind: 'out-of-range',
    field: 'keratometry',
    blocks: true,
    message: `corneal ${unit === 'D' ? 'power' : 'radius'} ${text} ${unit} is outside ${low} to ${high} ${unit}.${guess}`,
    instead:
      tenth === undefined
        ? 'K1 43.25 K2 44.00, or R1 7.80 mm R2 7.67 mm'
        : `${short(tenth, 2)} ${unit}, if that is what was measured`,
  }
}

const LABELS: Readonly<Record<CornealPart, string>> = {
  first: 'K1',
  second: 'K2',
  flat: 'K flat',
  steep: 'K steep',
  mean: 'K mean',
}
const shownReading = ({ given, unit, axisDeg }: CornealReading): string =>
  `${given.toFixed(2)} ${unit}${axisDeg === undefined ? '' : ` at ${axisDeg}°`}`

/** Corneal powers or radii with their axes: "K1 42.10@95 K2 43.20@5", "K 42.10/43.20", "R1 7.80", "mean K 43.4". */
export const readKeratometry: Reader = (place) => {
  const match = matchAt(KERATOMETRY_FORMS, place.tokens, place.at)
  if (match === undefined || place.at + match.used > place.end) return undefined
  const name = match.value
  let used = match.used
  let unit: 'D' | 'mm' | undefined
  for (let turn = 0; turn < 2; turn += 1) {
    used += bridge(place, used)
    const before = unitAt(place, used)
    if (before?.unit === 'D' || before?.unit === 'mm') {
      unit = before.unit
      used += before.used
    } else if (tokenAt(place, used)?.text === '[' || tokenAt(place, used)?.text === '(') {
      used += bracketed(place, used)
    }
  }
  const first = powerAt(place, used, unit, name === 'pair')
  if (first === undefined) {
    const unknown = unknownMark(place, used)
    if (unknown > 0) return { used: used + unknown, facts: [fact('keratometry', 'corneal power', undefined, 'not known')] }
    if (match.used === 1 && ['k', 'rs', 'rf', 'rm', 'kh', 'kv', 'ks'].includes(tokenAt(place, 0)?.lower ?? '')) return undefined
    return {
      used: match.used,
      faults: [
        {
          kind: 'not-understood',
          field: 'keratometry',
          blocks: false,
          message: 'corneal power has no value here.',
          instead: 'K1 43.25 K2 44.00, or leave it out if it is not known',
        },
      ],
    }
  }
  const found = [first]
  const texts = [tokenAt(place, used)?.text ?? '']
  used += first.used
  if (name === 'pair' && first.fault === undefined) {
    const between = tokenAt(place, used)
    const skipped = between !== undefined && ['/', 'x', ',', '-', 'and', '&', '+'].includes(between.lower) ? 1 : 0
    const second = powerAt(place, used + skipped, unit ?? (first.radiusAssumed ? undefined : first.unit), true)
    const text = tokenAt(place, used + skipped)?.text ?? ''
    if (second !== undefined && outOfRange(second.given, second.unit, text) === undefined) {
      found.push(second)
      texts.push(text)
      used += skipped + second.used
    }
  }
  const parts: readonly CornealPart[] = name !== 'pair' ? [name] : found.length === 2 ? ['first', 'second'] : ['mean']
  const faults = found.flatMap((one, index) =>
    [one.fault, outOfRange(one.given, one.unit, texts[index] ?? '')].filter((fault) => fault !== undefined),
  )
  if (faults.length > 0) return { used, faults }
  const readings = found.map(
    (one, index): CornealReading => ({
      part: parts[index] ?? 'mean',
      given: one.given,
      unit: one.unit,
      ...(one.axisDeg === undefined ? {} : { axisDeg: one.axisDeg }),
    }),
  )
  const label = readings.map((one) => LABELS[one.part]).join(' and ')
  const shown = readings.map(shownReading).join(', ')
  const radius = found.some((one) => one.radiusAssumed) ? 'read as a radius in mm' : undefined
  return { used, facts: [fact('keratometry', label, readings, shown, radius)] }
}

/** How many tokens a short bracket such as "[D @ °]" takes, or 0. */
function bracketed(place: Place, offset: number): number {
  for (let length = 1; length < 7; length += 1) {
    const text = tokenAt(place, offset + length)?.text
    if (text === undefined) return 0
    if (text === ']' || text === ')') return length + 1
    if (tokenAt(place, offset + length)?.kind === 'number') return 0
  }
  return 0
}
