import { expect } from 'vitest'

/** Half a unit in the last printed place, with room for the binary fraction. */
export const lastDigit = (decimals: number): number => 0.5 / 10 ** decimals + 1e-9

/** Asserts a deviation and shows it when it is too great. */
export const closeTo = (actual: number, expected: number, tolerance: number, what = 'value') =>
  expect(
    Math.abs(actual - expected),
    `${what}: got ${actual}, expected ${expected} within ${tolerance}, deviates by ${actual - expected}`,
  ).toBeLessThanOrEqual(tolerance)
