import { countedOn, frequency, withThousands } from './figures.js'
import { FIGURE_WORDS } from './words-figures-en.js'

/**
 * Two probabilities as a range of plain frequencies: "6 to 8 in 100" where both have one scale, else both in full.
 * @param low probability, 0 to 1
 * @param high probability, 0 to 1, not below `low`
 */
export function frequencyRange(low: number, high: number): string {
  const [from, to] = [frequency(low), frequency(high)]
  if (from === to) return from
  const [least, most] = [countedOn(low), countedOn(high)]
  if (least === undefined || most === undefined || least.scale !== most.scale) return FIGURE_WORDS.range(from, to)
  return FIGURE_WORDS.outOf(FIGURE_WORDS.range(String(least.count), String(most.count)), withThousands(least.scale))
}
