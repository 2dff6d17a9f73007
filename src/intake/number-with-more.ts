import { QUANTITIES, type QuantityName } from '../terms/quantities.js'
import { isBroken } from './broken-number.js'
import { judgeValue } from './quantity-value.js'
import { type Place, type Reading, tokenAt } from './reading.js'
import type { Token } from './tokens.js'
import { unitAt } from './units-written.js'

/** "2.2k" cells: the number with its thousands. */
export function inThousands(place: Place, offset: number, name: QuantityName): Token | undefined {
  const [token, letter] = [tokenAt(place, offset), tokenAt(place, offset + 1)]
  if (name !== 'endothelialCellDensityPerMm2' || token === undefined || letter?.lower !== 'k' || letter.gap > 0) return undefined
  const thousands = Number(token.text.replace(',', '.')) * 1000
  return Number.isFinite(thousands) ? { ...token, text: String(Math.round(thousands)) } : undefined
}

/** "AL 30.45 mm ± 0.03", "+/- 0,03": the standard deviation of the length. */
export function spreadAfter(place: Place, offset: number): Reading | undefined {
  const [first, second] = [tokenAt(place, offset)?.text, tokenAt(place, offset + 1)?.text]
  const signs = first === '±' ? 1 : first === '+' && second === '/' ? 2 : 0
  const dash = signs === 2 && tokenAt(place, offset + 2)?.text === '-' ? 1 : 0
  const token = tokenAt(place, offset + signs + dash)
  if (signs === 0 || token?.kind !== 'number' || isBroken(place, offset + signs + dash)) return undefined
  const used = signs + dash + 1
  const unit = unitAt(place, offset + used)
  const bare = { ...token, text: token.text.replace(/^-/, '') }
  const { fact: read } = judgeValue('axialLengthSdMm', QUANTITIES.axialLengthSdMm, bare, unit?.unit)
  return read === undefined ? undefined : { used: used + (unit?.used ?? 0), facts: [read] }
}
