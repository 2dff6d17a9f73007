import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { nthSmallest } from '../../src/optics/select.js'

describe('the value at a place', () => {
  it('is the one that sorting puts there, one place after another', () => {
    const values = fc.array(fc.double({ noNaN: true, min: -100, max: 100 }), { minLength: 1, maxLength: 60 })
    fc.assert(
      fc.property(values, fc.nat(), fc.nat(), (given, one, other) => {
        const [first = 0, second = 0] = [one % given.length, other % given.length].sort((a, b) => a - b)
        const sorted = given.toSorted((a, b) => a - b)
        const drawn = Float64Array.from(given)
        expect(nthSmallest(drawn, first)).toBe(sorted[first])
        expect(nthSmallest(drawn, second, first)).toBe(sorted[second])
      }),
      { seed: 11 },
    )
  })

  it('is found among equal values', () => {
    expect(nthSmallest(Float64Array.of(2, 2, 2, 1, 2), 3)).toBe(2)
    expect(nthSmallest(Float64Array.of(2, 2, 2, 1, 2), 0)).toBe(1)
  })
})
