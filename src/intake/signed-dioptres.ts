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
