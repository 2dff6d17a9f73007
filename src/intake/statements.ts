import type { Eye } from '../terms/eye.js'
import { FINDING_PHRASES } from './finding-tables.js'
import type { Gathered } from './gathered.js'
import { isConnecting } from './ignorable.js'
import { matchAt, type Phrases } from './phrases.js'
import { ACUITY_NAMES, readAcuity } from './read-acuity.js'
import { readAgain, readLensInPlace } from './read-again.js'
import { readBareIncision, readClockHours, readClotting, readShortForm } from './read-alone.js'
import { readBiometryDate, readSurgeryDate } from './read-dates.js'
import { EYE_FORMS, readBothEyes, readEye, readFellow } from './read-eye.js'
import { readFinding } from './read-findings.js'
import { readIndex } from './read-index.js'
import { KERATOMETRY_FORMS, readKeratometry } from './read-keratometry.js'
import { lensReader, readConstant } from './read-lens.js'
import { QUANTITY_FORMS, readMeasurement, readMeasurementAfter, readMethod } from './read-measurement.js'
import { readNucleus } from './read-nucleus.js'
import { readPerson } from './read-person.js'
import { readPredictionError } from './read-prediction-error.js'
import { REFRACTION_FORMS, readBareRefraction, readRefraction } from './read-refraction.js'
import { readSurgeon } from './read-surgery.js'
import { readTarget, TARGET_FORMS } from './read-target.js'
import type { Field, Place, Reader, Reading, Side } from './reading.js'
import { closeBracket, inScope, mention, type Scope, separate, sideNow } from './scope.js'
import type { Token } from './tokens.js'

export interface Setting {
  readonly today: string
  readonly lensLabels: readonly string[]
}

/** The readers in the order in which they are asked: the narrower first. */
export const readersFor = ({ lensLabels }: Setting): readonly Reader[] => [
  lensReader(lensLabels),
  readFellowFinding,
  readEye,
  readFellow,
  readBothEyes,
  readSurgeryDate,
  readBiometryDate,
  readFailure,
  readConstant,
  readIndex,
  readKeratometry,
  readAgain,
  readLensInPlace,
  readMeasurement,
  readPredictionError,
  readTarget,
  readRefraction,
  readPerson,
  readMeasurementAfter,
  readClockHours,
  readNucleus,
  readAcuity,
  readSurgeon,
  readFinding,
  readMethod,
  readBareRefraction,
  readClotting,
  readShortForm,
  readBareIncision,
]

/** A finding whose own words name the fellow eye, or that "optical failed": asked before the shorter readings inside it. */
const readFailure: Reader = (place) => {
  const match = matchAt(FINDING_PHRASES, place.tokens, place.at)
  return match?.value.finding.field === 'opticalBiometryFailed' ? readFinding(place) : undefined
}
const readFellowFinding: Reader = (place) => {
  const reading = readFinding(place)
  return reading?.facts?.some((one) => one.field.startsWith('fellow.')) === true ? reading : undefined
}

/** Reads the tokens of one line, in any order, from `from` up to `end`; every token ends in a fact, a fault or the unread. */
export function readStatements(
  tokens: readonly Token[],
  from: number,
  end: number,
  scope: Scope,
  setting: Setting,
  readers: readonly Reader[],
  out: Gathered,
): void {
  let at = from
  let last: Field | undefined
  let lastEnd = from
  let unreadFrom = -1
  let unreadTo = -1
  const flush = (): void => {
    if (unreadFrom >= 0) out.unread.push({ tokens: tokens.slice(unreadFrom, unreadTo + 1), side: unreadSide })
    unreadFrom = -1
  }
  let unreadSide: Side
  while (at < end) {
    const token = tokens[at] as Token
    const place: Place = { tokens, at, start: from, end, side: sideNow(scope), last, since: at - lastEnd, ...setting }
    if (token.text === ',' || token.text === ';' || token.text === '.') {
      flush()
      if (token.text === ',' && inBracket(tokens, from, at)) {
        at += 1
        continue
      }
      const ahead: Place = { ...place, at: at + 1, last: undefined, since: 0 }
      separate(token, scope, () => firstReading(ahead, readers)?.facts?.[0]?.field, out)
      at += 1
      continue
    }
    if (token.text === ')') closeBracket(scope)
    const perEye = readPerEye(place, readers, out)
    if (perEye > 0) {
      flush()
      at += perEye
      continue
    }
    const reading = firstReading(place, readers)
    if (
      reading !== undefined &&
      reading.eye === undefined &&
      unreadTo === at - 1 &&
      unreadFrom >= 0 &&
      TURNING.has(tokens[unreadTo]?.lower ?? '')
    ) {
      const taken = tokens.slice(unreadTo, at + reading.used)
      if (unreadFrom === unreadTo) unreadFrom = -1
      else unreadTo -= 1
      flush()
      commit(turned(reading, taken), place.side, taken, out)
      at += reading.used
      lastEnd = at
      continue
    }
    if (reading !== undefined) {
      flush()
      const taken = tokens.slice(at, at + reading.used)
      mention(reading, scope, taken, { starts: at === from, ends: at + reading.used >= end }, out)
      if (reading.eye !== undefined) scope.bracketed = scope.passing !== undefined && inBracket(tokens, from, at)
      commit(reading.eye === undefined ? inScope(reading, scope) : reading, place.side, taken, out)
      last = reading.facts?.[0]?.field ?? last
      at += reading.used
      lastEnd = at
      continue
    }
    if (!isConnecting(token.kind, token.lower)) {
      if (unreadFrom < 0) {
        unreadFrom = at
        unreadSide = place.side
      }
      unreadTo = at
    }
    at += 1
  }
  flush()
}

/** A comma inside a bracket parts what is in the bracket only. */
function inBracket(tokens: readonly Token[], from: number, at: number): boolean {
  for (let back = at - 1; back >= Math.max(from, at - 20); back -= 1) {
    if (tokens[back]?.text === ')') return false
    if (tokens[back]?.text === '(') return true
  }
  return false
}

/** Words that turn what follows into its opposite or a doubt. What stands after one is never read as plainly said. */
const TURNING = new Set(
  'no not non never nil without denies denied possible possibly query suspected probable maybe perhaps likely unlikely'.split(
    ' ',
  ),
)

const turned = (reading: Reading, tokens: readonly Token[]): Reading => {
  const word = tokens[0]?.lower ?? ''
  const field = reading.facts?.[0]?.field ?? reading.faults?.[0]?.field
  const message = `"${word}" stands before this, so it is not read as said. The words are kept.`
  const instead = 'what is, without "no" or "possible"; or leave it out if it is not known'
  return {
    used: reading.used,
    faults: [{ kind: 'ambiguous', ...(field === undefined ? {} : { field }), blocks: false, message, instead }],
  }
}

function firstReading(place: Place, readers: readonly Reader[]): Reading | undefined {
  for (const reader of readers) {
    const reading = reader(place)
    if (reading !== undefined && reading.used > 0 && place.at + reading.used <= place.end) return reading
  }
  return undefined
}

function commit(reading: Reading, side: Side, tokens: readonly Token[], out: Gathered): void {
  for (const what of reading.facts ?? []) out.facts.push({ what, side, tokens })
  for (const what of reading.faults ?? []) out.faults.push({ what, side, tokens })
}

/** "R" and "L" between a name and its value: "AL R 29.1 L 29.8". */
function letterAt(tokens: readonly Token[], at: number): { readonly value: Eye; readonly used: number } | undefined {
  const text = tokens[at]?.text
  if ((text !== 'R' && text !== 'L') || tokens[at + 1]?.gap === 0) return undefined
  return { value: text === 'R' ? 'right' : 'left', used: 1 }
}

const keyLength = (place: Place): number =>
  [QUANTITY_FORMS, KERATOMETRY_FORMS, REFRACTION_FORMS, ACUITY_NAMES, TARGET_FORMS]
    .map((table: Phrases<unknown>) => matchAt(table, place.tokens, place.at)?.used ?? 0)
    .reduce((one, other) => Math.max(one, other), 0)

/** One name with a value for each eye: "IOP RE 14 LE 15", "VA RE 6/60, LE 6/9". Answers how many tokens it took, or 0. */
function readPerEye(place: Place, readers: readonly Reader[], out: Gathered): number {
  const { tokens, at, end } = place
  const key = keyLength(place)
  if (key === 0) return 0
  const name = tokens.slice(at, at + key)
  let used = key
  let read = 0
  for (;;) {
    let next = at + used
    while (next < end && [',', ':', '/', '-', '='].includes(tokens[next]?.text ?? '')) next += 1
    const eye = next < end ? (matchAt(EYE_FORMS, tokens, next) ?? letterAt(tokens, next)) : undefined
    const value = eye === undefined ? undefined : tokens[next + eye.used + (tokens[next + eye.used]?.text === ':' ? 1 : 0)]
    if (eye === undefined || value === undefined || next + eye.used >= end) break
    if (read > 0 && value.kind !== 'number' && !/^(CF|HM|PL|LP|NPL|NLP)$/.test(value.text)) break
    const from = next + eye.used
    const joined = [...name, ...tokens.slice(from, Math.min(end, from + 16))]
    const reading = firstReading({ ...place, tokens: joined, at: 0, start: 0, end: joined.length, side: eye.value }, readers)
    if (reading === undefined || reading.used <= key) break
    const to = from + reading.used - key
    commit(reading, eye.value, [...name, ...tokens.slice(next, to)], out)
    out.mentions.push({ eye: eye.value, operated: false, tokens: tokens.slice(next, from) })
    used = to - at
    read += 1
  }
  return read === 0 ? 0 : used
}
