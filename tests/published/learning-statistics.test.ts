import { describe, expect, it } from 'vitest'
import { planeThrough } from '../../src/learning/plane-fit.js'
import { cumulate, cusumWeight } from '../../src/learning/rupture-chart.js'
import { meanEstimate, medianRank, shareOf, standardDeviation } from '../../src/learning/statistics.js'
import { studentT95 } from '../../src/learning/student-t.js'
import { closeTo } from '../optics/close-to.js'

/** Table of Student's t, two-sided 5 per cent points, as in Fisher RA, Yates F. Statistical Tables. Three decimals. */
describe("Student's t at five per cent", () => {
  it.each([
    [1, 12.706],
    [2, 4.303],
    [3, 3.182],
    [4, 2.776],
    [5, 2.571],
    [9, 2.262],
    [10, 2.228],
    [15, 2.131],
    [20, 2.086],
    [29, 2.045],
    [30, 2.042],
    [60, 2.0],
    [120, 1.98],
  ])('%i degrees of freedom', (degreesOfFreedom, printed) => {
    closeTo(studentT95(degreesOfFreedom), printed, 0.0005)
  })

  it('comes to the normal 1.960 with many', () => {
    closeTo(studentT95(10000), 1.96, 0.0005)
  })
})

/**
 * Student. The probable error of a mean. Biometrika 1908;6:1-25: additional hours of sleep of ten patients under two
 * drugs, difference mean 1.58. The interval 0.70 to 2.46 is the one that statistics packages print for this example.
 */
describe("Student's hours of sleep", () => {
  const differences = [1.2, 2.4, 1.3, 1.3, 0, 1, 1.8, 0.8, 4.6, 1.4]

  it('have the mean, spread and interval that are printed', () => {
    const mean = meanEstimate(differences)
    closeTo(mean?.value ?? Number.NaN, 1.58, 1e-9)
    closeTo(standardDeviation(differences), 1.23, 0.0005)
    closeTo(mean?.low ?? Number.NaN, 0.7001142, 5e-7)
    closeTo(mean?.high ?? Number.NaN, 2.4598858, 5e-7)
  })
})

/** Campbell MJ, Gardner MJ. BMJ 1988;296:1454-1456: ranks of the values that bound a median with 95 % (exact binomial). */
describe('which values bound a median', () => {
  it.each([
    [6, 1, 6],
    [10, 2, 9],
    [15, 4, 12],
    [20, 6, 15],
    [30, 10, 21],
    [50, 18, 33],
  ])('of %i values: the %ith and the %ith', (count, low, high) => {
    const rank = medianRank(count)
    expect([rank, rank === undefined ? undefined : count + 1 - rank]).toEqual([low, high])
  })

  it('are none below six values', () => {
    expect(medianRank(5)).toBeUndefined()
  })
})

/** Newcombe RG. Stat Med 1998;17:857-872, table I: 81 of 263, 15 of 148, by the score method without continuity correction. */
describe('shares in Newcombe 1998', () => {
  it.each([
    [81, 263, 0.2553, 0.3662],
    [15, 148, 0.0624, 0.1605],
  ])('%i of %i', (count, of, low, high) => {
    const share = shareOf(count, of)
    closeTo(share?.low ?? Number.NaN, low, 0.00005)
    closeTo(share?.high ?? Number.NaN, high, 0.00005)
  })
})

/**
 * Ryan TA, Joiner BL, Ryan BF. The Minitab Student Handbook. 1976: girth (in), height (ft) and volume (cubic ft) of 31
 * black cherry trees. The regression of volume on both is printed in many texts: -57.9877, 4.7082, 0.3393; standard errors 8.6382,
 * 0.2643, 0.1302; residual standard error 3.882 on 28 degrees of freedom.
 */
describe('a plane through the cherry trees', () => {
  const girth = [
    8.3, 8.6, 8.8, 10.5, 10.7, 10.8, 11, 11, 11.1, 11.2, 11.3, 11.4, 11.4, 11.7, 12, 12.9, 12.9, 13.3, 13.7, 13.8, 14, 14.2, 14.5,
    16, 16.3, 17.3, 17.5, 17.9, 18, 18, 20.6,
  ]
  const height = [
    70, 65, 63, 72, 81, 83, 66, 75, 80, 75, 79, 76, 76, 69, 75, 74, 85, 86, 71, 64, 78, 80, 74, 72, 77, 81, 82, 80, 80, 80, 87,
  ]
  const volume = [
    10.3, 10.3, 10.2, 16.4, 18.8, 19.7, 15.6, 18.2, 22.6, 19.9, 24.2, 21, 21.4, 21.3, 19.1, 22.2, 33.8, 27.4, 25.7, 24.9, 34.5,
    31.7, 36.3, 38.3, 42.6, 55.4, 55.7, 58.3, 51.5, 51, 77,
  ]
  const fit = planeThrough(volume.map((y, index) => ({ x: girth[index] ?? 0, z: height[index] ?? 0, y })))

  it('has the printed coefficients and residual', () => {
    closeTo(fit?.intercept.value ?? 0, -57.9877, 0.00005)
    closeTo(fit?.alongX.value ?? 0, 4.7082, 0.00005)
    closeTo(fit?.alongZ.value ?? 0, 0.3393, 0.00005)
    closeTo(fit?.residual ?? 0, 3.882, 0.0005)
  })

  it('has intervals of the printed standard errors', () => {
    const reach = studentT95(28)
    const errorOf = (of?: { readonly value: number; readonly high: number }) => ((of?.high ?? 0) - (of?.value ?? 0)) / reach
    closeTo(errorOf(fit?.intercept), 8.6382, 0.00005)
    closeTo(errorOf(fit?.alongX), 0.2643, 0.00005)
    closeTo(errorOf(fit?.alongZ), 0.1302, 0.00005)
  })
})

/** Steiner SH, Cook RJ, Farewell VT, Treasure T. Biostatistics 2000;1:441-452: logit(p) = -3.68 + 0.077 score; weights for doubled odds. */
describe('weights of a risk-adjusted cumulative sum', () => {
  const probability = (intercept: number, score: number) => 1 / (1 + Math.exp(-(intercept + 0.077 * score)))

  it.each([
    [0, false, -0.024],
    [0, true, 0.67],
    [50, false, -0.43],
    [50, true, 0.26],
  ])('score %i, happened: %s', (score, happened, printed) => {
    closeTo(cusumWeight(probability(-3.68, score), happened, 2), printed, Math.abs(printed) < 0.1 ? 0.0005 : 0.005)
  })

  // Rigdon SE, Fricker RD. Health surveillance. In: Innovative Statistical Methods for Public Health Data. 2015, pp 225-226.
  it('score 19 and halved odds, in Rigdon and Fricker', () => {
    closeTo(cusumWeight(probability(-3.67, 19), false, 0.5), 0.05083, 0.00002)
  })
})

/**
 * The sum of operations of unequal risk is Poisson-binomial (Le Cam L. Pacific J Math 1960;10:1181-1197). Its exact
 * distribution, built here operation by operation, is the reference for the range that the chart draws by the normal law.
 */
describe('the range of observed minus expected', () => {
  it.each([200, 600, 1500])('holds about 95 of 100 exact sums of %i operations, never under 90', (count) => {
    const risks = Array.from({ length: count }, (_, index) => [0.006, 0.01, 0.03, 0.12][index % 4] ?? 0)
    let exact: readonly number[] = [1]
    for (const risk of risks) {
      const former = exact
      exact = Array.from(
        { length: former.length + 1 },
        (_, ruptures) => (former[ruptures] ?? 0) * (1 - risk) + (former[ruptures - 1] ?? 0) * risk,
      )
    }
    const last = cumulate(risks.map((expected) => ({ day: '2026-01-01', rupture: false, expected }))).at(-1)
    const expected = risks.reduce((sum, risk) => sum + risk, 0)
    closeTo(last?.difference ?? Number.NaN, -expected, 1e-9)
    closeTo(
      exact.reduce((sum, chance, ruptures) => sum + chance * ruptures, 0),
      expected,
      1e-9,
    )
    const inside = exact.reduce((sum, chance, ruptures) => {
      const difference = ruptures - expected
      return difference >= (last?.low ?? 0) && difference <= (last?.high ?? 0) ? sum + chance : sum
    }, 0)
    expect(inside).toBeGreaterThan(0.9)
    expect(inside).toBeLessThan(0.985)
  })
})
