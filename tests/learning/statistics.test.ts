import {
  binomialDistribution,
  cumulativeStdNormalProbability,
  linearRegression,
  linearRegressionLine,
  mean,
  median,
  sampleStandardDeviation,
} from 'simple-statistics'
import { describe, expect, it } from 'vitest'
import { planeThrough } from '../../src/learning/plane-fit.js'
import {
  meanEstimate,
  meanOf,
  medianEstimate,
  medianOf,
  medianRank,
  shareOf,
  standardDeviation,
} from '../../src/learning/statistics.js'
import { centralStudentT, studentT95 } from '../../src/learning/student-t.js'
import { normals, seeded } from '../../src/optics/random.js'
import { closeTo } from '../optics/close-to.js'

const series = (count: number, seed: number): readonly number[] => {
  const draw = normals(seeded(seed))
  return Array.from({ length: count }, () => 0.2 + 0.5 * draw())
}

/** simple-statistics 7.12 is the reference. */
describe('a general statistics library', () => {
  it.each([2, 3, 9, 10, 57, 400])('gives the same mean, spread and median of %i values', (count) => {
    const values = series(count, count)
    closeTo(meanOf(values), mean([...values]), 1e-12)
    closeTo(standardDeviation(values), sampleStandardDeviation([...values]), 1e-12)
    closeTo(medianOf(values), median([...values]), 1e-12)
  })

  it.each([6, 7, 12, 25, 40, 99])('gives the binomial tail that the ranks of a median of %i stand on', (count) => {
    const chances = binomialDistribution(count, 0.5)
    const below = (rank: number) => (chances ?? []).slice(0, rank).reduce((sum, chance) => sum + chance, 0)
    const rank = medianRank(count) ?? 0
    expect(below(rank)).toBeLessThanOrEqual(0.025)
    expect(below(rank + 1)).toBeGreaterThan(0.025)
  })

  it('gives the same slopes when each quantity is freed of the other (Frisch R, Waugh FV. Econometrica 1933;1:387-401)', () => {
    const [x, other, noise] = [series(80, 1), series(80, 2), series(80, 3)]
    const points = x.map((value, index) => {
      const z = 0.6 * value + (other[index] ?? 0)
      return { x: value, z, y: 1.2 + 0.4 * value + 0.1 * z + 0.3 * (noise[index] ?? 0) }
    })
    const freed = (of: 'x' | 'y', from: 'x' | 'z') => {
      const line = linearRegressionLine(linearRegression(points.map((point) => [point[from], point[of]])))
      return points.map((point) => point[of] - line(point[from]))
    }
    const [alone, answer] = [freed('x', 'z'), freed('y', 'z')]
    const { m } = linearRegression(alone.map((value, index) => [value, answer[index] ?? 0]))
    closeTo(planeThrough(points)?.alongX.value ?? Number.NaN, m, 1e-10)
  })

  it("gives the normal probability that Student's t comes to", () => {
    // Its table of the normal distribution has four decimals.
    closeTo(centralStudentT(1.5, 20000), 2 * cumulativeStdNormalProbability(1.5) - 1, 2e-4)
  })
})

describe('intervals', () => {
  it('are undefined where there is too little to give one', () => {
    expect(meanEstimate([0.5])).toBeUndefined()
    expect(medianEstimate([1, 2, 3, 4, 5])).toBeUndefined()
    expect(shareOf(0, 0)).toBeUndefined()
    expect(standardDeviation([1])).toBeNaN()
    expect(medianOf([])).toBeNaN()
  })

  it('of a mean hold the truth in about 95 of 100 seeded series, and those of a median in no fewer', () => {
    let [means, medians] = [0, 0]
    const rounds = 2000
    for (let seed = 1; seed <= rounds; seed += 1) {
      const values = series(15, seed)
      const [ofMean, ofMedian] = [meanEstimate(values), medianEstimate(values)]
      if (ofMean && ofMean.low <= 0.2 && ofMean.high >= 0.2) means += 1
      if (ofMedian && ofMedian.low <= 0.2 && ofMedian.high >= 0.2) medians += 1
    }
    // Three standard errors of a share of 0.95 in 2,000.
    closeTo(means / rounds, 0.95, 0.015)
    expect(medians / rounds).toBeGreaterThan(0.935)
  })

  it('are the same wherever the values stand in the list', () => {
    const values = series(30, 5)
    expect(medianEstimate(values.toReversed())).toEqual(medianEstimate(values))
  })

  it('do not fail on a very long list, whose binomial terms are too small for a number', () => {
    const rank = medianRank(20000) ?? 0
    // Normal approximation: n/2 - 0.98 sqrt n.
    closeTo(rank, 10000 - 0.98 * Math.sqrt(20000), 2)
  })
})

describe('a plane', () => {
  it('goes through points that lie on one', () => {
    const points = [
      [3, 23],
      [2.8, 24],
      [3.4, 22.5],
      [3.1, 25],
      [2.6, 21.9],
    ].map(([x = 0, z = 0]) => ({ x, z, y: 1.9 + 0.4 * x + 0.1 * z }))
    const fit = planeThrough(points)
    closeTo(fit?.intercept.value ?? 0, 1.9, 1e-9)
    closeTo(fit?.alongX.value ?? 0, 0.4, 1e-9)
    closeTo(fit?.alongZ.value ?? 0, 0.1, 1e-9)
  })

  it('is undefined for three points, and where both quantities go together', () => {
    expect(planeThrough([1, 2, 3].map((x) => ({ x, z: x * x, y: x })))).toBeUndefined()
    expect(planeThrough([1, 2, 3, 4, 5].map((x) => ({ x, z: 2 * x + 1, y: x })))).toBeUndefined()
  })
})

it('reaches the same distance that leaves five in a hundred outside', () => {
  for (const degrees of [1, 2, 3, 8, 29, 199]) closeTo(centralStudentT(studentT95(degrees), degrees), 0.95, 1e-9)
})
