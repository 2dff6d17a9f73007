import { describe, expect, it } from 'vitest'
import { EUROPE_2022 } from '../../src/risk/capsule-rupture-europe-2022.js'
import { LEARNING_STEPS, STAGES_OF_RUPTURE } from '../../src/risk/capsule-rupture-learning-2021.js'
import { ODDS_RATIOS_2024 } from '../../src/risk/capsule-rupture-model-2024.js'
import { recalibrate } from '../../src/risk/capsule-rupture-odds-2009.js'
import { AUDIT_RATE, LATER_RATES, SEX_LEVELS } from '../../src/risk/capsule-rupture-odds-table.js'
import { OBSERVED_RATES, RATES_IN_HARD_EYES } from '../../src/risk/capsule-rupture-rates.js'
import {
  capsuleRuptureScoreStatement,
  OBSERVED_2004,
  POINTS_2004,
  scoreGroup,
} from '../../src/risk/capsule-rupture-score-2004.js'
import { CONSULTANT_ABOVE, POINTS_2020, surgeonScoreStatement } from '../../src/risk/surgeon-score-2020.js'

/** Muhtaseb M, Kalhoro A, Ionides A. Br J Ophthalmol 2004;88:1242-1246, tables 1 and 2. */
describe('integer score, 2004', () => {
  it('points of table 1', () => {
    const points = Object.values(POINTS_2004)
    expect(points.filter((point) => point === 1)).toHaveLength(9)
    expect(points.filter((point) => point === 3)).toHaveLength(3)
  })

  it.each([
    [0, 579, 4.32, 1.55, 1.04],
    [1, 255, 7.45, 1.57, 0.39],
    [2, 255, 7.45, 1.57, 0.39],
    [3, 141, 13.48, 4.96, 5.67],
    [5, 141, 13.48, 4.96, 5.67],
    [6, 25, 32, 8, 8],
    [14, 25, 32, 8, 8],
  ])('score %i: table 2', (score, operations, anyComplicationPercent, capsuleRupturePercent, vitreousLossPercent) => {
    expect(scoreGroup(score)).toMatchObject({
      operations,
      anyComplicationPercent,
      capsuleRupturePercent,
      vitreousLossPercent,
    })
  })

  it('the groups are the 1,000 operations, and each printed rate is a whole number of eyes', () => {
    expect(OBSERVED_2004.reduce((sum, { operations }) => sum + operations, 0)).toBe(1000)
    for (const { operations, anyComplicationPercent, capsuleRupturePercent, vitreousLossPercent } of OBSERVED_2004) {
      for (const percent of [anyComplicationPercent, capsuleRupturePercent, vitreousLossPercent]) {
        const eyes = Math.round((percent * operations) / 100)
        expect((eyes / operations) * 100).toBeCloseTo(percent, 1)
      }
    }
  })

  it('a dense lens in an eye of more than 6 D reads 5 in 100, as observed', () => {
    const { value, words } = capsuleRuptureScoreStatement({ denseOrWhite: true, refractionD: -14 })
    expect(value).toBe(0.0496)
    expect(words).toContain('5 in 100 observed in 2004')
  })
})

/**
 * Okada M, Shalchi Z, Hamilton R, Whiting C, response of 25 October 2017 to Br J Ophthalmol 2017;101:1466, on the audit of 55,567
 * operations: "male gender to have an adjusted odds ratio of 1.28 (95% CI 1.13-1.45)".
 */
it('the odds ratio of men in the audit of 2001 to 2006 is the one quoted', () => {
  expect(SEX_LEVELS).toEqual({ female: 1, male: 1.28 })
})

/** Han JV, Patel DV, Liu K, et al. Clin Exp Ophthalmol 2020;48:311-318; points read in a digest. */
it('New Zealand score, 2020: points, and consultant level above 3', () => {
  expect(CONSULTANT_ABOVE).toBe(3)
  const points = Object.values(POINTS_2020)
  expect([3, 2, 1].map((each) => points.filter((point) => point === each).length)).toEqual([5, 1, 8])
  expect(surgeonScoreStatement({ denseOrWhite: true, refractionD: -14 }).band?.words).toContain('consultant level')
})

/** Sim PY, Donachie PHJ, Day AC, Buchan JC. Eye 2024;38:3495-3503, abstract. */
it('2016–22 national model: printed odds ratios with their limits, and 9,730 of 961,208', () => {
  expect(ODDS_RATIOS_2024).toEqual({
    'less experienced trainee surgeon': { oddsRatio: 3.75, low: 3.33, high: 4.24 },
    'pseudoexfoliation or phacodonesis': { oddsRatio: 3.47, low: 3.05, high: 3.94 },
    'younger man': { oddsRatio: 3.05, low: 2.23, high: 4.16 },
    'brunescent, white or mature cataract': { oddsRatio: 2.41, low: 2.24, high: 2.6 },
  })
  expect((9730 / 961208) * 100).toBeCloseTo(OBSERVED_RATES[3].percent, 2)
})

/** Segers MHM et al. J Cataract Refract Surg 2022;48:51-55: 1.44 % in 2008, 0.60 % in 2018; age 1.007 a year, 80 against 55 about + 20 %. */
it('European registry: printed rates, and the age factor over 25 years', () => {
  expect(EUROPE_2022).toMatchObject({ operations: 2853376, firstYearPercent: 1.44, lastYearPercent: 0.6, allYearsPercent: 1.1 })
  expect(EUROPE_2022.cornealOpacities).toEqual({ oddsRatio: 3.21, low: 3.02, high: 3.41 })
  expect(Math.exp(25 * Math.log(EUROPE_2022.perYearOfAge))).toBeCloseTo(1.2, 1)
})

/** Keles A et al. Indian J Ophthalmol 2023: 95 of 1,302 mature cataracts. Yao Y et al. 2021: 3.91 % (1.98 to 6.37). */
it('rates in harder eyes', () => {
  const { matureCataract, highMyopia } = RATES_IN_HARD_EYES
  expect((matureCataract.events / matureCataract.eyes) * 100).toBeCloseTo(matureCataract.percent, 1)
  expect([highMyopia.lowPercent, highMyopia.percent, highMyopia.highPercent]).toEqual([1.98, 3.91, 6.37])
})

/** Grinton M et al. Eye 2021;35:1213-1220: 4,303 operations, 82 ruptures. */
it('learning curve: printed steps and stages', () => {
  expect(LEARNING_STEPS.map(({ percent }) => percent)).toEqual([3.1, 0.6, 0.4])
  expect(STAGES_OF_RUPTURE).toEqual({ 'quadrant removal': 44, 'cortex removal': 21.3 })
})

/** Narendran N et al. 2009: 1.92 % overall; Sim PY et al. 2024: 1.01 %; UK national audit 2023-24: 0.69 %. */
it('recalibration carries the audit rate onto each later national rate exactly', () => {
  for (const { rate } of LATER_RATES) expect(recalibrate(AUDIT_RATE, rate)).toBeCloseTo(rate, 12)
})
