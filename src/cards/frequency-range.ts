import { frequency } from './figures.js'

/**
 * Two probabilities as a range of plain frequencies: "6 to 8 in 100" where both have one scale, else both in full.
 * @param low probability, 0 to 1
 * @param high probability, 0 to 1, not below `low`
 */
export function frequencyRange(low: number, high: number): string {
  const [from, to] = [frequency(low), frequency(high)]
  if (from === to) return from
  const [count, scale] = from.split(' in ')
  return to.endsWith(` in ${scale}`) ? `${count} to ${to}` : `${from} to ${to}`
}
