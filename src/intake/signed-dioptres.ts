import { isBroken } from './broken-number.js'
import { numberOf, signOf } from './numbers.js'
import { type Place, tokenAt } from './reading.js'

/** "-1.75", as it is to be typed. */
export const signed = (value: number): string => (value === 0 ? '0.00' : `${value > 0 ? '+' : '-'}${Math.abs(value).toFixed(2)}`)
/** "−1.75 D", as it is shown. */
export const shownDioptres = (value: number): string => `${signed(value).replace('-', '−')} D`

export interface SignedFound {
  readonly used: number
  readonly value: number
  readonly text: string
  readonly signed: boolean
  readonly dash: boolean
}

const WHOLE: Readonly<Record<string, number>> = { zero: 0, one: 1, two: 2, three: 3, four: 4, five: 5, six: 6 }
const PARTS = [
  { words: ['and', 'a', 'half'], value: 0.5 },
  { words: ['and', 'a', 'quarter'], value: 0.25 },
  { words: ['and', 'three', 'quarters'], value: 0.75 },
  { words: ['point', 'two', 'five'], value: 0.25 },
  { words: ['point', 'seven', 'five'], value: 0.75 },
  { words: ['point', 'five'], value: 0.5 },
]

/** "minus two and a half", as it is dictated. Without "minus" or "plus" before it no number word is a power. */
function wordsAt(place: Place, offset: number): SignedFound | undefined {
  const sign = tokenAt(place, offset)?.lower
  if (sign !== 'minus' && sign !== 'plus') return undefined
  const word = tokenAt(place, offset + 1)?.lower ?? ''
  if (word === 'half') return worded(sign, 2, 0.5)
  const whole = WHOLE[word]
  if (whole === undefined) return undefined
  const part = PARTS.find(({ words }) => words.every((one, at) => tokenAt(place, offset + 2 + at)?.lower === one))
  return worded(sign, 2 + (part?.words.length ?? 0), whole + (part?.value ?? 0))
}

const worded = (sign: 'minus' | 'plus', used: number, size: number): SignedFound => ({
  used,
  value: sign === 'minus' ? -size : size,
  text: size.toFixed(2),
  signed: true,
  dash: false,
})

/** A dioptre value: its sign may touch the number, or a dash may touch the name before it ("target-1.75"). */
export function signedAt(place: Place, offset: number): SignedFound | undefined {
  const token = tokenAt(place, offset)
  const next = tokenAt(place, offset + 1)
  if (isBroken(place, offset) || (token?.kind === 'symbol' && isBroken(place, offset + 1))) return undefined
  if (token?.kind === 'number') {
    const value = numberOf(token)
    return {
      used: 1,
      value,
      text: token.text.replace(/^[+-]/, ''),
      signed: signOf(token) !== undefined || value === 0,
      dash: false,
    }
  }
  const inWords = wordsAt(place, offset)
  if (inWords !== undefined) return inWords
  const isMark = token?.text === '-' || token?.text === '+' || token?.lower === 'minus' || token?.lower === 'plus'
  if (!isMark || next?.kind !== 'number' || signOf(next) !== undefined) return undefined
  const word = token.kind === 'word'
  const touching = token.gap === 0 && next.gap === 0
  const minus = token.text === '-' || token.lower === 'minus'
  return {
    used: 2,
    value: minus ? -numberOf(next) : numberOf(next),
    text: next.text,
    signed: word || touching || token.text === '+',
    dash: touching,
  }
}
