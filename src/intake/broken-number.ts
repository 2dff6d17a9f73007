import { type Place, tokenAt } from './reading.js'

/** Letters that are typed, or recognised from print, in place of a digit. */
const LIKE_DIGITS = new Set(['o', 'l', 'i', 'oo', 'lo', 'ol'])
/** Signs that part statements or belong to a notation; any other that touches digits on both sides breaks a number. */
const PARTING = new Set([',', ';', '/', '@', '-', '+', '(', ')', '[', ']', '|', '&', '°', '%', '"'])

/**
 * Whether the number at this place goes on in a way that cannot be read: "29:60", "29.6O", "29.60.1".
 * Half of such a number is never taken for the whole.
 */
export function isBroken(place: Place, offset: number): boolean {
  const next = tokenAt(place, offset + 1)
  if (tokenAt(place, offset)?.kind !== 'number' || next === undefined || next.gap > 0) return false
  if (next.kind === 'number') return !/^[+-]/.test(next.text)
  if (next.kind === 'word') return LIKE_DIGITS.has(next.lower)
  if (next.kind !== 'symbol' || PARTING.has(next.text)) return false
  const after = tokenAt(place, offset + 2)
  if (after === undefined || after.gap > 0) return false
  return after.kind === 'number' || (after.kind === 'word' && LIKE_DIGITS.has(after.lower))
}

/** How many tokens the broken number takes: all that touch. */
export function brokenLength(place: Place, offset: number): number {
  let used = 1
  while (used < 6 && tokenAt(place, offset + used)?.gap === 0) used += 1
  return used
}
