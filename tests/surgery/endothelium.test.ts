import { describe, expect, it } from 'vitest'
import { cellsAfterYears, endotheliumFigure, endotheliumForecast, endotheliumLevel } from '../../src/surgery/endothelium.js'
import { cellsPerMm2, years } from '../../src/terms/units.js'

const forecast = (density: number) => {
  const outcome = endotheliumForecast(cellsPerMm2(density))
  if (outcome.kind !== 'computed') throw new Error(outcome.reason)
  return outcome.value
}

it('1,400 cells leave 980 to 1,330', () => {
  expect(forecast(1400)).toMatchObject({ low: expect.closeTo(980, 6), high: expect.closeTo(1330, 6), group: '1,000 to 2,000' })
})

it('the group changes under 1,000 and over 2,000', () => {
  expect([999, 1000, 2000, 2001].map((density) => forecast(density).group)).toEqual([
    'under 1,000',
    '1,000 to 2,000',
    '1,000 to 2,000',
    'over 2,000',
  ])
})

it('levels begin under 2,000, 1,000 and 500', () => {
  expect([2000, 1999, 999, 499].map((density) => endotheliumLevel(cellsPerMm2(density)))).toEqual([
    'no limit reached',
    'low',
    'corneal opinion first',
    'decompensation likely',
  ])
})

it.each([99, 5001, Number.NaN])('%f cells are refused', (density) => {
  expect(endotheliumForecast(cellsPerMm2(density)).kind).toBe('outside-domain')
  expect(cellsAfterYears(cellsPerMm2(density), years(10)).kind).toBe('outside-domain')
})

describe('the figure', () => {
  it('shows a range, the group, and a limit that may be crossed', () => {
    const { words } = endotheliumFigure({ endothelialCellDensityPerMm2: 1400, nucleusBand: 'black' })
    expect(words).toContain('Endothelial cells 1,400: 980 to 1,300 after surgery')
    expect(words).toContain('353 patients, 2021')
    expect(words).toContain('hard nucleus: towards the lower end')
    expect(words).toContain('may fall under 1,000')
  })

  it('says when the count is not stated, and that a hard nucleus makes it matter', () => {
    expect(endotheliumFigure({ nucleusBand: 'black' }).words).toContain('measure it')
    expect(endotheliumFigure({}).words).toContain('count not stated')
  })
})
