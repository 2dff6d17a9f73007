import type { Token } from './tokens.js'

export const signOf = (token: Token): '+' | '-' | undefined =>
  token.text.startsWith('-') ? '-' : token.text.startsWith('+') ? '+' : undefined

const THREES = /^\d{1,3}(,\d{3})+$/
const ONE_MARK_AND_THREE = /^\d{1,3}[.,]\d{3}$/

/**
 * The values that a number as typed can have, the usual one first: "29,84" has one, "2,180" may be 2180 or 2.18.
 * Signed as typed.
 */
export function valuesOf(token: Token): readonly number[] {
  const sign = signOf(token) === '-' ? -1 : 1
  const digits = token.text.replace(/^[+-]/, '')
  const asDecimal = Number(digits.replace(',', '.'))
  if (ONE_MARK_AND_THREE.test(digits)) {
    const whole = Number(digits.replace(/[.,]/, ''))
    return digits.includes(',') ? [sign * whole, sign * asDecimal] : [sign * asDecimal, sign * whole]
  }
  if (THREES.test(digits) || /,.*\./.test(digits)) return [sign * Number(digits.replaceAll(',', ''))]
  return [sign * asDecimal]
}

/** The plain value of a number where thousands are not to be expected. */
export const numberOf = (token: Token): number => {
  const values = valuesOf(token)
  return Math.min(...values.map(Math.abs)) * (signOf(token) === '-' ? -1 : 1)
}

const SLIPS = [0.1, 10, 0.01, 100, 0.001, 1000]

/** What was probably meant where a number misses its range by a power of ten. */
export function probablyMeant(value: number, low: number, high: number): number | undefined {
  const slip = SLIPS.find((factor) => value * factor >= low && value * factor <= high)
  return slip === undefined ? undefined : Number((value * slip).toPrecision(6))
}

/** A number as a reader expects it, without needless zeros. */
export const short = (value: number, decimals: number): string => String(Number(value.toFixed(decimals)))
