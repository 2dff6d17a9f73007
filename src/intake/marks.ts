import { matchAt, phrases } from './phrases.js'
import { type Place, tokenAt } from './reading.js'

/** What stands on a sheet where a value is missing. It says unknown, never a value and never normal. */
export const UNKNOWN_MARKS = phrases<true>(
  [
    'n/a',
    'na',
    'n.a.',
    'nad unknown',
    'unknown',
    'not known',
    'not done',
    'not available',
    'not measured',
    'not recorded',
    'not tested',
    'not assessed',
    'not possible',
    'unable',
    'unrecordable',
    'unmeasurable',
    'not seen',
    'not checked',
    'pending',
    'awaited',
    'tbc',
    'tba',
    'nk',
    'nd',
    'missing',
    'failed',
    'no reading',
    'no value',
    'error',
    'blank',
    'not clear',
    'unclear',
    'not sure',
    'unsure',
    'uncertain',
    'do not know',
    "don't know",
    'is unknown',
    'status unknown',
    'are unknown',
    'were not done',
    'was not done',
  ].map((mark) => [mark, true] as const),
)

/** How many tokens of a missing mark stand here, or 0. */
export function unknownMark(place: Place, offset: number): number {
  const token = tokenAt(place, offset)
  if (token === undefined) return 0
  if (
    token.kind === 'symbol' &&
    (/^-{2,}$/.test(token.text) || /^\?+$/.test(token.text) || /^_{2,}$/.test(token.text) || /^\.{3,}$/.test(token.text))
  )
    return 1
  const match = matchAt(UNKNOWN_MARKS, place.tokens, place.at + offset)
  return match !== undefined && place.at + offset + match.used <= place.end ? match.used : 0
}

const BRIDGES = new Set([
  ':',
  '=',
  '~',
  '≈',
  '-',
  'of',
  'is',
  'was',
  'about',
  'approx',
  'approximately',
  'around',
  'circa',
  'at',
  'are',
  'reading',
  'value',
  'measured',
  'shows',
  'today',
])

/** How many tokens without meaning of their own lie between a name and its value. */
export function bridge(place: Place, offset: number): number {
  let used = 0
  while (used < 4) {
    const token = tokenAt(place, offset + used)
    const opens = token?.text === '(' && tokenAt(place, offset + used + 1)?.kind === 'number'
    if (token === undefined || !(opens || BRIDGES.has(token.lower))) return used
    if (token.line !== tokenAt(place, offset)?.line) return used
    used += 1
  }
  return used
}
