import { describe, expect, it } from 'vitest'
import type { FormulaError } from '../../src/learning/formula-errors.js'
import { errorFigures, FEWEST_EYES, summariseErrors } from '../../src/learning/prediction-error.js'
import { closeTo } from '../optics/close-to.js'

const error = (errorD: number, axialLengthMm = 23.5, formula: FormulaError['formula'] = 'srk-t'): FormulaError => ({
  formula,
  adjustment: 'none',
  basis: true,
  axialLengthMm,
  predictedD: 0,
  errorD,
})

describe('figures of prediction errors', () => {
  it('are worked by hand for ten eyes', () => {
    // Sum 0.5, mean 0.05; squares sum to 3.5, less 10 x 0.0025 is 3.475, / 9 is 0.386111, its root 0.621378.
    const ten = [-1.25, -0.5, -0.25, 0, 0, 0.25, 0.25, 0.5, 0.5, 1]
    const figures = errorFigures(ten)
    closeTo(figures?.mean.value ?? 0, 0.05, 1e-12)
    closeTo(figures?.standardDeviationD ?? 0, 0.621378, 5e-7)
    // 2.262157 x SD / root 10 on each side.
    closeTo((figures?.mean.high ?? 0) - 0.05, (2.262157 * (figures?.standardDeviationD ?? 0)) / Math.sqrt(10), 1e-6)
    // Absolute: 0 0 0.25 0.25 0.25 0.5 0.5 0.5 1 1.25; the middle two are 0.25 and 0.5; ranks 2 and 9 bound it.
    expect(figures?.medianAbsolute).toEqual({ value: 0.375, low: 0, high: 1 })
    expect(figures?.withinHalf).toMatchObject({ count: 8, of: 10 })
    expect(figures?.withinOne).toMatchObject({ count: 9, of: 10 })
  })

  it('count an error of exactly half a dioptre as within it, also where binary falls short', () => {
    const near = Array.from({ length: FEWEST_EYES }, () => -0.3 - 0.2)
    expect(errorFigures(near)?.withinHalf.count).toBe(FEWEST_EYES)
    expect(errorFigures(near.map((one) => one - 0.001))?.withinHalf.count).toBe(0)
  })

  it('are not given for fewer eyes than the limit', () => {
    expect(errorFigures(Array.from({ length: FEWEST_EYES - 1 }, () => 0.1))).toBeUndefined()
  })
})

describe('a summary', () => {
  const errors = [
    ...Array.from({ length: 12 }, (_, index) => error(0.1 * index, 23)),
    ...Array.from({ length: 3 }, () => error(0.9, 26)),
    error(-0.2, 25.99),
    ...Array.from({ length: 10 }, () => error(0.4, 30, 't2')),
  ]
  const summaries = summariseErrors(errors)

  it('stands for each formula and each band that holds an eye, and for no other', () => {
    expect(summaries.map(({ formula, band, eyes }) => [formula, band, eyes])).toEqual([
      ['srk-t', 'all', 16],
      ['srk-t', '22-26', 13],
      ['srk-t', '26-28', 3],
      ['t2', 'all', 10],
      ['t2', 'from-30', 10],
    ])
  })

  it('keeps back the figures of a band with too few eyes', () => {
    expect(summaries.find(({ band }) => band === '26-28')?.figures).toBeUndefined()
    expect(summaries.find(({ band }) => band === '22-26')?.figures).toBeDefined()
  })
})
