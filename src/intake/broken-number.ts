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
  if (tokenAt(place, offset)?.kind !== 'number' || next === undefined) return false
  if (goesOnAfterABlank(place, offset)) return true
  if (next.gap > 0) return false
  if (next.kind === 'number') return !/^[+-]/.test(next.text)
  if (next.kind === 'word') return LIKE_DIGITS.has(next.lower)
  if (next.kind !== 'symbol' || PARTING.has(next.text)) return false
  const after = tokenAt(place, offset + 2)
  if (after === undefined || after.gap > 0) return false
  return after.kind === 'number' || (after.kind === 'word' && LIKE_DIGITS.has(after.lower))
}

/** "28 .74": print that was recognised with a blank before its point. */
function goesOnAfterABlank(place: Place, offset: number): boolean {
  const [whole, rest] = [tokenAt(place, offset), tokenAt(place, offset + 1)]
  return rest?.kind === 'number' && rest.gap > 0 && rest.text.startsWith('.') && !/[.,]/.test(whole?.text ?? '')
}

/**
 * "28, 74 mm" and "28. 74 mm": a decimal with a blank after its mark. Whole millimetres followed by what may be the rest of
 * them are not taken for the length. Answers how many tokens it takes, or 0.
 */
export function partedDecimal(place: Place, offset: number): number {
  const [whole, mark, rest] = [tokenAt(place, offset), tokenAt(place, offset + 1), tokenAt(place, offset + 2)]
  if (whole?.kind !== 'number' || /[.,]/.test(whole.text) || rest?.kind !== 'number' || !/^\d{1,2}$/.test(rest.text)) return 0
  if ((mark?.text !== ',' && mark?.text !== '.') || rest.line !== whole.line) return 0
  const unit = tokenAt(place, offset + 3)
  return unit?.lower === 'mm' ? 4 : 0
}

/** How many tokens the broken number takes: all that touch. */
export function brokenLength(place: Place, offset: number): number {
  let used = goesOnAfterABlank(place, offset) ? 2 : 1
  while (used < 6 && tokenAt(place, offset + used)?.gap === 0) used += 1
  return used
}
