import { bridge } from './marks.js'
import { numberOf, signOf } from './numbers.js'
import { matchAt, phrases } from './phrases.js'
import { type Field, fact, type Place, type Reader, type Reading, tokenAt } from './reading.js'
import type { Token } from './tokens.js'

interface Constant {
  readonly field: Field
  readonly name: string
  readonly low: number
  readonly high: number
  readonly example: string
}
const CONSTANTS: readonly (Constant & { readonly written: readonly string[] })[] = [
  {
    field: 'lensConstants.aConstant',
    name: 'A constant',
    low: 100,
    high: 125,
    example: 'A 118.9',
    written: [
      'a',
      'a const',
      'a-const',
      'a constant',
      'a-constant',
      'aconst',
      'srk/t a',
      'srk t a',
      'a-const srk/t',
      'aconstant',
    ],
  },
  {
    field: 'lensConstants.surgeonFactorMm',
    name: 'surgeon factor',
    low: -5,
    high: 10,
    example: 'SF 1.85',
    written: ['sf', 'surgeon factor', 's factor'],
  },
  {
    field: 'lensConstants.personalisedAcdMm',
    name: 'personalised ACD',
    low: 2,
    high: 12,
    example: 'pACD 5.6',
    written: ['pacd', 'p-acd', 'personalised acd', 'personalized acd', 'acd constant', 'acd const'],
  },
  { field: 'lensConstants.haigisA0', name: 'Haigis a0', low: -20, high: 20, example: 'a0 -0.77', written: ['a0', 'haigis a0'] },
  { field: 'lensConstants.haigisA1', name: 'Haigis a1', low: -2, high: 2, example: 'a1 0.234', written: ['a1', 'haigis a1'] },
  { field: 'lensConstants.haigisA2', name: 'Haigis a2', low: -2, high: 2, example: 'a2 0.217', written: ['a2', 'haigis a2'] },
]
export const CONSTANT_FORMS = phrases(CONSTANTS.flatMap((constant) => constant.written.map((form) => [form, constant] as const)))
export const MODALITY_FORMS = phrases<'optical' | 'ultrasound'>([
  ...[
    'optical constants',
    'optical constant',
    'optical a',
    'constants optical',
    'constants: optical',
    'for optical',
    'optimised for optical',
    'constants optimised for optical',
  ].map((form) => [form, 'optical'] as const),
  ...[
    'us constants',
    'us constant',
    'ultrasound constants',
    'ultrasound constant',
    'constants ultrasound',
    'constants: ultrasound',
    'constants us',
    'for ultrasound',
    'optimised for ultrasound',
    'a-scan constants',
  ].map((form) => [form, 'ultrasound'] as const),
])

/** A lens constant with its name: "A 118.9", "SF 1.85", "a0 -0.77". */
export const readConstant: Reader = (place) => {
  const modality = matchAt(MODALITY_FORMS, place.tokens, place.at)
  if (modality !== undefined && (tokenAt(place, 0)?.lower !== 'for' || place.last?.startsWith('lensConstants') === true)) {
    return {
      used: modality.used,
      facts: [fact('lensConstants.modality', 'constants optimised for', modality.value, `${modality.value} lengths`)],
    }
  }
  const match = matchAt(CONSTANT_FORMS, place.tokens, place.at)
  if (match === undefined) return undefined
  const constant = match.value
  let used = match.used
  const dash = tokenAt(place, used)
  // "a0-0.77": a dash that touches the number is its sign; "A - 118.9" parts the name from its number.
  const isSigned = dash?.text === '-' && dash.gap === 0 && tokenAt(place, used + 1)?.gap === 0
  if (isSigned && constant.low < 0) used += 1
  else used += bridge(place, used)
  const token = tokenAt(place, used)
  if (token?.kind !== 'number') return undefined
  if (tokenAt(place, 0)?.lower === 'sf' && used === match.used && token.text === '6') {
    const kept = 'a gas, not a surgeon factor; kept as written'
    return { used: used + 1, facts: [fact('note', 'gas', '', 'SF6', kept)] }
  }
  const value = numberOf(token) * (isSigned && constant.low < 0 ? -1 : 1)
  const bareLetter = match.used === 1 && tokenAt(place, 0)?.lower === 'a'
  // "A 61 year old man" opens a sentence.
  if (bareLetter && (tokenAt(place, used + 1)?.text === '-' || /^(?:year|yr|y)/.test(tokenAt(place, used + 1)?.lower ?? ''))) {
    if (value < constant.low) return undefined
  }
  if (value >= constant.low && value <= constant.high) {
    const after = tokenAt(place, used + 1)?.lower === 'mm' ? 1 : 0
    const method = constantModality(place, used + 1 + after)
    const own = fact(
      constant.field,
      constant.name,
      value,
      signOf(token) === '-' || isSigned ? `−${Math.abs(value)}` : String(value),
    )
    return { used: used + 1 + after + method.used, facts: [own, ...method.facts] }
  }
  if (bareLetter && (tokenAt(place, 0)?.text !== 'A' || value < 20)) return undefined
  return {
    used: used + 1,
    faults: [
      {
        kind: 'out-of-range',
        field: constant.field,
        blocks: true,
        message: `${constant.name} ${token.text} is outside ${constant.low} to ${constant.high}.`,
        instead: constant.example,
      },
    ],
  }
}

/** "(optical)" or "optical" straight after a constant says what it was optimised for. */
function constantModality(
  place: Place,
  offset: number,
): { readonly used: number; readonly facts: NonNullable<Reading['facts']> } {
  const open = tokenAt(place, offset)?.text === '(' ? 1 : 0
  const word = tokenAt(place, offset + open)?.lower
  const value = word === 'optical' ? 'optical' : word === 'ultrasound' || word === 'us' ? 'ultrasound' : undefined
  if (value === undefined || tokenAt(place, offset + open + 1)?.lower === 'biometry') return { used: 0, facts: [] }
  const close = open === 1 && tokenAt(place, offset + 2)?.text === ')' ? 1 : 0
  return { used: open + 1 + close, facts: [fact('lensConstants.modality', 'constants optimised for', value, `${value} lengths`)] }
}

/** A label of the department's list, however it is spaced or capitalised. */
export function lensReader(labels: readonly string[]): Reader {
  const table = phrases(labels.map((label) => [label, label] as const))
  return (place) => {
    const named = ['lens', 'iol', 'implant'].includes(tokenAt(place, 0)?.lower ?? '')
    const at = named ? 1 + bridge(place, 1) : 0
    const match = matchAt(table, place.tokens, place.at + at)
    if (match !== undefined && place.at + at + match.used <= place.end) {
      return { used: at + match.used, facts: [fact('lensLabel', 'lens', match.value, match.value)] }
    }
    return named && tokenAt(place, 1)?.text === ':' ? unlisted(place, at, labels) : undefined
  }
}

function unlisted(place: Place, at: number, labels: readonly string[]): Reading | undefined {
  let used = at
  const isEnd = (token: Token | undefined): boolean => token === undefined || [',', ';', '.'].includes(token.text)
  while (!isEnd(tokenAt(place, used))) used += 1
  if (used === at) return undefined
  const list =
    labels.length === 0
      ? 'The department has no list yet.'
      : `The list has: ${labels.slice(0, 12).join(', ')}${labels.length > 12 ? ' and others' : ''}.`
  return {
    used,
    faults: [
      {
        kind: 'not-understood',
        field: 'lensLabel',
        blocks: false,
        message: `this lens is not in the department's list. ${list}`,
        instead: labels[0] === undefined ? 'the constants, such as A 118.9' : `lens: ${labels[0]}`,
      },
    ],
  }
}
