import { expect, it } from 'vitest'
import { wilsonInterval } from '../../src/risk/wilson-interval.js'

const limits = (events: number, trials: number): readonly [number, number] => {
  const outcome = wilsonInterval(events, trials)
  if (outcome.kind !== 'computed') throw new Error(outcome.reason)
  return [outcome.value.low, outcome.value.high]
}

/** Newcombe RG. Stat Med 1998;17:857-872, table I, score method without continuity correction; printed values recalled, not re-read. */
it.each([
  [81, 263, 0.2553, 0.3662],
  [15, 148, 0.0624, 0.1605],
  [0, 20, 0, 0.1611],
  [1, 29, 0.0061, 0.1718],
])('%i of %i', (events, trials, low, high) => {
  const [from, to] = limits(events, trials)
  expect(from).toBeCloseTo(low, 4)
  expect(to).toBeCloseTo(high, 4)
})

it('each limit solves the score equation (Wilson 1927)', () => {
  for (const [events, trials] of [
    [2, 25],
    [7, 141],
    [95, 1302],
  ] as const) {
    const share = events / trials
    for (const limit of limits(events, trials)) {
      const z = Math.abs(share - limit) / Math.sqrt((limit * (1 - limit)) / trials)
      expect(z).toBeCloseTo(1.96, 3)
    }
  }
})

it('refuses what is not a count', () => {
  for (const [events, trials] of [
    [1, 0],
    [3, 2],
    [-1, 5],
    [0.5, 5],
    [Number.NaN, 5],
  ] as const) {
    expect(wilsonInterval(events, trials).kind).toBe('outside-domain')
  }
})
