import { METHOD_FORMS } from './axial-length-methods.js'
import { numberOf, short } from './numbers.js'
import { matchAt, phrases } from './phrases.js'
import { fact, type Place, type Reader, tokenAt } from './reading.js'
import { unitAt } from './units-written.js'

const AGAIN = new Set(['repeat', 'repeated', 'rpt', 'remeasured', 're-measured', 'again'])

export const SECOND_READING = 'a second reading'

/** A number that can only be an axial length: whole millimetres alone may be anything. Answers its tokens and its value. */
function lengthAt(place: Place, offset: number): { readonly used: number; readonly value: number } | undefined {
  const token = tokenAt(place, offset)
  if (token?.kind !== 'number' || /^[+-]/.test(token.text)) return undefined
  const unit = unitAt(place, offset + 1)
  const isMillimetres = unit?.unit === 'mm'
  const value = numberOf(token)
  if (!(value >= 15 && value <= 40) || !(isMillimetres || /[.,]/.test(token.text))) return undefined
  return { used: 1 + (isMillimetres ? unit.used : 0), value }
}

/** "on repeat", or another method: "(A-scan)", "by immersion". */
function againAt(place: Place, offset: number): number {
  const joined = ['on', 'at', 'when', 'by', 'with', 'via', '('].includes(tokenAt(place, offset)?.lower ?? '') ? 1 : 0
  if (AGAIN.has(tokenAt(place, offset + joined)?.lower ?? '')) return joined + 1
  const method = matchAt(METHOD_FORMS, place.tokens, place.at + offset + joined)
  if (method === undefined) return 0
  const opened = tokenAt(place, offset)?.text === '('
  return joined + method.used + (opened && tokenAt(place, offset + joined + method.used)?.text === ')' ? 1 : 0)
}

/** "AL 28.50 mm (29.10 mm on repeat)", "AL 28.5, repeat 29.1": the same length measured again. */
export const readAgain: Reader = (place) => {
  const ofLength = place.last === 'axialLengthMm' || place.last === 'axialLengthMethod'
  if (!ofLength || place.since > 5) return undefined
  const before = AGAIN.has(tokenAt(place, 0)?.lower ?? '') ? 1 : 0
  const skip = before + (before > 0 && [':', 'al', 'of'].includes(tokenAt(place, 1)?.lower ?? '') ? 1 : 0)
  const found = lengthAt(place, skip)
  if (found === undefined) return undefined
  let used = skip + found.used
  if (before === 0) {
    const said = againAt(place, used)
    if (said === 0) return undefined
    used += said
  }
  return { used, facts: [fact('axialLengthMm', 'axial length', found.value, `${short(found.value, 2)} mm`, SECOND_READING)] }
}

const LENS_IN_PLACE = phrases(
  [
    'pco',
    'posterior capsule opacification',
    'posterior capsular opacification',
    'iol exchange',
    'exchange of iol',
    'exchange of the iol',
    'explant iol',
    'iol explantation',
    ...['decentred', 'decentered', 'dislocated', 'subluxed', 'subluxated', 'tilted', 'opacified'].flatMap((how) => [
      `${how} iol`,
      `iol ${how}`,
      `iol is ${how}`,
    ]),
  ].map((form) => [form, true] as const),
)

/** Words of an eye that has had its cataract operation: nothing here is made for it. */
export const readLensInPlace: Reader = (place) => {
  const match = matchAt(LENS_IN_PLACE, place.tokens, place.at)
  if (match === undefined || place.at + match.used > place.end) return undefined
  if (place.side === 'fellow' || (place.last === 'lensStatus' && place.since <= 1)) return undefined
  return {
    used: match.used,
    faults: [
      {
        kind: 'ambiguous',
        field: 'lensStatus',
        blocks: true,
        message: 'this eye seems to hold an artificial lens already; a plan is for a first cataract operation and would mislead.',
        instead:
          '"fellow eye" before these words if they are of the other eye; for a power to exchange or to add, soundings surprise on the command line',
      },
    ],
  }
}
