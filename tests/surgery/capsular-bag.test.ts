import { expect, it } from 'vitest'
import { capsularBagDiameter, capsularBagFigure } from '../../src/surgery/capsular-bag.js'
import { dioptres, mm } from '../../src/terms/units.js'

it('43 D and 23.5 mm give 10.33 mm', () => {
  expect(capsularBagDiameter(mm(23.5), dioptres(43))).toMatchObject({ kind: 'computed', value: expect.closeTo(10.33, 2) })
})

it('is refused above 26.4 mm, never extrapolated and never clamped', () => {
  expect(capsularBagDiameter(mm(26.4), dioptres(43)).kind).toBe('computed')
  for (const length of [26.41, 30, 34]) {
    expect(capsularBagDiameter(mm(length), dioptres(43))).toMatchObject({ kind: 'outside-domain', quantity: 'axial length' })
  }
})

it('a long eye reads out of range and carries no number', () => {
  const { words, values, outOfRange } = capsularBagFigure({ axialLengthMm: 29.6, meanKeratometryD: 42.65 })
  expect(values).toEqual([])
  expect(outOfRange).toContain('26.4 mm')
  expect(words).toContain('do not size from it')
})

it.each([
  [19.99, 43],
  [23.5, 37.9],
  [23.5, 50.1],
  [Number.NaN, 43],
  [23.5, Number.NaN],
])('%f mm and %f D are refused', (length, power) => {
  expect(capsularBagDiameter(mm(length), dioptres(power)).kind).toBe('outside-domain')
})

it('names what is missing', () => {
  expect(capsularBagFigure({ axialLengthMm: 23.5 }).words).toContain('not stated: keratometry')
  expect(capsularBagFigure({}).words).toContain('not stated: axial length, keratometry')
})
