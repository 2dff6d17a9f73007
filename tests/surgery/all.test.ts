import { expect, test } from 'vitest'
import { planSchema, type SurgeryFigure } from '../../src/plan/plan.js'
import { SURGERY_MODELS, surgeryStatements } from '../../src/surgery/all.js'
import type { SurgeryInput } from '../../src/surgery/surgery-input.js'

const longEye: SurgeryInput = {
  weightKg: 60,
  axialLengthMm: 29.6,
  meanKeratometryD: 42.65,
  endothelialCellDensityPerMm2: 2180,
  nucleusBand: 'very-hard',
  incisionMm: 2.4,
  bottleHeightCm: 60,
}

const inputs: readonly (readonly [string, SurgeryInput])[] = [
  ['a brown long eye', longEye],
  ['an eye of which nothing is stated', {}],
  [
    'impossible readings',
    {
      weightKg: 5000,
      axialLengthMm: 235,
      meanKeratometryD: -3,
      incisionMm: 40,
      bottleHeightCm: -1,
      endothelialCellDensityPerMm2: 1e6,
    },
  ],
  [
    'NaN everywhere',
    {
      weightKg: Number.NaN,
      axialLengthMm: Number.NaN,
      meanKeratometryD: Number.NaN,
      endothelialCellDensityPerMm2: Number.NaN,
      incisionMm: Number.NaN,
      bottleHeightCm: Number.NaN,
      infusionPressureMmHg: Number.NaN,
    },
  ],
]

test.each(inputs)('%s: every figure has the exact shape of a plan', (_, input) => {
  const figures: SurgeryFigure[] = surgeryStatements(input)
  for (const figure of figures) expect(() => planSchema.shape.surgery.element.parse(figure)).not.toThrow()
  expect(figures.map(({ id }) => id)).toEqual(SURGERY_MODELS.map(({ id }) => id))
})

test.each(inputs)('%s: words and source are never empty, and nothing is called safe', (_, input) => {
  for (const { words, source } of surgeryStatements(input)) {
    expect(words).not.toBe('')
    expect(source.cite).not.toBe('')
    expect(words).not.toMatch(/\bsafe\b|undefined|Infinity/i)
  }
})

test('an impossible reading gives no number for this eye, and says which reading', () => {
  for (const { outOfRange, words } of surgeryStatements(inputs[3]?.[1] ?? {})) {
    if (outOfRange !== undefined) expect(words).toContain('NaN')
  }
})

test('identifiers are unique', () => {
  const ids = SURGERY_MODELS.map(({ id }) => id)
  expect(new Set(ids).size).toBe(ids.length)
})
