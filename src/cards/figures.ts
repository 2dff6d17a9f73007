import { withThousands } from '../terms/frequency.js'
import { signed } from '../terms/power.js'
import { FIGURE_WORDS } from './words-figures-en.js'

export { withThousands }

const SCALES = [100, 1000, 10_000] as const

/** A probability as a count on the smallest scale on which it is at least 1; undefined below the last. */
export function countedOn(probability: number): { readonly count: number; readonly scale: number } | undefined {
  for (const scale of SCALES) {
    const count = Math.round(probability * scale)
    if (count >= 1) return { count, scale }
  }
  return undefined
}

/**
 * A probability as a plain frequency: "14 in 100", "3 in 1,000". The scale grows until the count is at least 1.
 * @param probability 0 to 1
 */
export function frequency(probability: number): string {
  const counted = countedOn(probability)
  return counted === undefined ? FIGURE_WORDS.fewest : FIGURE_WORDS.outOf(String(counted.count), withThousands(counted.scale))
}

/**
 * A range of refractions as a reader says it, the value nearer to zero first: "−1.75 to −1.91 D"; one value when both round alike.
 * Two decimals, so that rounding never shows a value on the other side of a target in quarters of a dioptre.
 * @param oneD other dioptres; order does not matter
 */
export function refractionRange(oneD: number, other: number): string {
  const [near, far] = Math.abs(oneD) <= Math.abs(other) ? [oneD, other] : [other, oneD]
  const [first, second] = [signed(near, 2), signed(far, 2)]
  return first === second ? `${first} D` : FIGURE_WORDS.range(first, `${second} D`)
}

/**
 * A range of lens powers, lower first: "+6.8 to +9.0 D".
 * @param lowD dioptres
 * @param highD dioptres
 * @param decimals digits after the point
 */
export function powerRange(lowD: number, highD: number, decimals = 1): string {
  const [low, high] = [signed(lowD, decimals), signed(highD, decimals)]
  return low === high ? `${low} D` : FIGURE_WORDS.range(low, `${high} D`)
}

/** "24 Nov 2026" from an ISO date or time; the text itself when it is neither. */
export function dayInWords(iso: string): string {
  const parts = /^(\d{4})-(\d{2})-(\d{2})/.exec(iso)
  const month = parts === null ? undefined : FIGURE_WORDS.months[Number(parts[2]) - 1]
  return parts === null || month === undefined ? iso : `${Number(parts[3])} ${month} ${parts[1]}`
}

/** Text that ends like a sentence, so that the next one can follow. */
export const asSentence = (text: string): string => (/[.?!]$/.test(text.trim()) ? text.trim() : `${text.trim()}.`)

export const capitalised = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

/** A sentence that goes on after a colon. */
export const uncapitalised = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1)
