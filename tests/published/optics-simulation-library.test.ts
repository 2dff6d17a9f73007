import { mean, quantileSorted, sampleStandardDeviation } from 'simple-statistics'
import { describe, expect, it } from 'vitest'
import { describeDraws } from '../../src/optics/monte-carlo.js'
import { normals, seeded } from '../../src/optics/random.js'

/** Reference library: simple-statistics 7 (ISC licence), an independent implementation of these statistics. */
describe('a description of draws, against a general statistics library', () => {
  const normal = normals(seeded(29))
  const draws = Float64Array.from({ length: 10_000 }, () => -1.9 + 0.55 * normal())
  const values = Array.from(draws)
  const sorted = values.toSorted((one, other) => one - other)
  const described = describeDraws(draws, -1.9)

  it('has the same mean and standard deviation', () => {
    expect(described.mean).toBeCloseTo(mean(values), 10)
    expect(described.standardDeviation).toBeCloseTo(sampleStandardDeviation(values), 10)
  })

  it.each([
    ['low', 0.025],
    ['median', 0.5],
    ['high', 0.975],
  ] as const)('has the same %s centile, to the distance of neighbouring draws', (name, share) => {
    expect(Math.abs(described[name] - quantileSorted(sorted, share))).toBeLessThan(0.005)
  })

  it('has the same share within half a dioptre and one', () => {
    const within = (distance: number) => values.filter((value) => Math.abs(value + 1.9) <= distance).length / values.length
    expect([described.withinHalf, described.withinOne]).toEqual([within(0.5), within(1)])
  })
})
