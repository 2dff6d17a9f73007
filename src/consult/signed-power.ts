import { lensPower, signed } from '../terms/power.js'

export type SignedReading = { readonly value: number } | { readonly problem: string }

const SIGNED = /^(?<sign>[+\u2212\u2013-])?\s*(?<digits>\d{1,2}(?:[.,]\d{1,2})?)\s*(?:D|dpt|dioptres?)?$/iu

/**
 * Dioptres as somebody wrote them. The sign must be written: a lens of +9.0 D and one of −9.0 D are both made, and a
 * refraction without its sign is a guess. Nought needs none.
 * @param what how the number is called in the answer: "lens power", "refraction"
 */
export function readSigned(written: string, what: string): SignedReading {
  const match = SIGNED.exec(written.trim())
  if (!match) return { problem: `“${written.trim()}” is not a ${what} in dioptres. Write it like +9.0 or \u22129.0` }
  const size = Number((match.groups?.['digits'] ?? '').replace(',', '.'))
  const sign = match.groups?.['sign']
  if (sign === undefined && size !== 0) {
    const digits = Number.isInteger(size * 10) ? 1 : 2
    return { problem: `The sign of the ${what} is missing: write ${signed(size, digits)} or ${signed(-size, digits)}` }
  }
  return { value: sign === undefined || sign === '+' ? size : size === 0 ? 0 : -size }
}

/** The power in words that cannot be misheard: "+9.0 D (plus 9.0)". */
export function readBack(powerD: number): string {
  const power = lensPower(powerD)
  if (powerD === 0) return `${power} (nought)`
  return `${power} (${powerD < 0 ? 'minus' : 'plus'} ${power.slice(1).replace(' D', '')})`
}
