import { expect, it } from 'vitest'
import { frequency, frequencyRange, frequencyRangeShort, frequencyShort } from '../../src/terms/frequency.js'

it.each([
  [0.1433, '14 in 100'],
  [0.0947, '9 in 100'],
  [0.0496, '5 in 100'],
  [0.0155, '1.6 in 100'],
  [0.01, '1 in 100'],
  [0.0069, '1 in 140'],
  [0.0003, '1 in 3,300'],
  [1 / 760, '1 in 760'],
  [0, 'none'],
  [0.999, 'more than 99 in 100'],
])('%f reads %s', (probability, words) => {
  expect(frequency(probability)).toBe(words)
})

it.each([
  [0.0561, 0.0802, '6 to 8 in 100'],
  [0.0358, 0.0517, '4 to 5 in 100'],
  [0.0237, 0.045, '2.4 to 4.5 in 100'],
  [0.02, 0.08, '2 to 8 in 100'],
  [0.001, 0.002, '1 in 1,000 to 1 in 500'],
  [0.003, 0.01, '1 in 330 to 1 in 100'],
  [0.051, 0.052, '5 in 100'],
])('%f to %f reads %s', (low, high, words) => {
  expect(frequencyRange(low, high)).toBe(words)
})

it('drops the base where it has just been said, but never from a rare one', () => {
  expect(frequencyShort(0.0947)).toBe('9')
  expect(frequencyShort(0.0026)).toBe('1 in 380')
  expect(frequencyRangeShort(0.0561, 0.0802)).toBe('6 to 8')
  expect(frequencyRangeShort(0.0091, 0.013)).toBe('1 in 110 to 1.3 in 100')
  expect(frequencyRangeShort(0.003, 0.01)).toBe('1 in 330 to 1 in 100')
})
