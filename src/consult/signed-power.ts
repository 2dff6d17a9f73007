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

const SPHERE =
  /^(?<sign>[+\u2212\u2013-])?\s*(?<digits>\d{1,2}(?:[.,]\d{1,3})?)\s*(?:D|DS|dpt|dioptres?)?(?:\s*\/\s*(?<cylinder>[+\u2212\u2013-]\s*\d{1,2}(?:[.,]\d{1,2})?)\s*(?:D|DC)?\s*(?:(?:x|\u00d7|@|axis|ax)\s*\d{1,3}\s*°?)?)?$/iu

/**
 * A refraction as somebody wrote it: its spherical equivalent, in eighths of a dioptre where the cylinder has quarters, or
 * sphere and cylinder, of which the equivalent is the sphere and half the cylinder. The signs must be written.
 */
export function readRefraction(written: string): SignedReading {
  // Plano: no sphere.
  const match = SPHERE.exec(written.trim().replace(/^pl(?:ano)?(?![a-z])/iu, '0'))
  const example = 'Write its spherical equivalent like \u22120.875, or sphere and cylinder like \u22120.50/\u22120.75'
  if (!match) return { problem: `“${written.trim()}” is not a refraction in dioptres. ${example}` }
  const { sign, digits = '', cylinder } = match.groups ?? {}
  const size = Number(digits.replace(',', '.'))
  if (sign === undefined && size !== 0)
    return { problem: `The sign of the refraction is missing: write +${digits} or \u2212${digits}` }
  const sphere = sign === undefined || sign === '+' || size === 0 ? size : -size
  if (cylinder === undefined) return { value: sphere }
  const half = Number(cylinder.slice(1).trim().replace(',', '.')) / 2
  return { value: cylinder.startsWith('+') ? sphere + half : sphere - half }
}

/** The power in words that cannot be misheard: "+9.0 D (plus 9.0)". */
export function readBack(powerD: number): string {
  const power = lensPower(powerD)
  if (powerD === 0) return `${power} (nought)`
  return `${power} (${powerD < 0 ? 'minus' : 'plus'} ${power.slice(1).replace(' D', '')})`
}
