import { expect, test } from 'vitest'
import { planSchema, type Risk } from '../../src/plan/plan.js'
import { RISK_MODELS, riskStatements } from '../../src/risk/all.js'
import type { RiskInput } from '../../src/risk/risk-input.js'

const brownLongEye: RiskInput = {
  ageYears: 58,
  sex: 'male',
  axialLengthMm: 29.6,
  anteriorChamberDepthMm: 3.45,
  nucleusBand: 'very-hard',
  denseOrWhite: true,
  noFundalView: true,
  staphyloma: 'absent',
  surgeonGrade: 'registrar',
}

const inputs: readonly (readonly [string, RiskInput])[] = [
  ['a brown long eye', brownLongEye],
  ['an eye of which nothing is stated', {}],
  ['an eye with an impossible length', { ...brownLongEye, axialLengthMm: 235 }],
  ['an eye with NaN for an age', { ...brownLongEye, ageYears: Number.NaN }],
]

test.each(inputs)('%s: every statement has the exact shape of a plan', (_, input) => {
  const risks: Risk[] = riskStatements(input)
  for (const risk of risks) expect(() => planSchema.shape.risks.element.parse(risk)).not.toThrow()
  expect(risks.map(({ id }) => id)).toEqual(RISK_MODELS.map(({ id }) => id))
})

test.each(inputs)('%s: no figure without model, population, years and words', (_, input) => {
  for (const { model, population, years, words, source } of riskStatements(input)) {
    for (const text of [model, population, years, words, source.cite]) expect(text).not.toBe('')
    expect(words).not.toMatch(/\bsafe\b|undefined|Infinity/i)
  }
})

test('an impossible length is refused by name wherever a model uses it', () => {
  const statements = riskStatements({ ...brownLongEye, axialLengthMm: 235 })
  const refused = statements.filter(({ words }) => words.includes('axial length 235 mm is outside'))
  expect(refused.length).toBeGreaterThanOrEqual(4)
  for (const { value, band } of refused) expect([value, band]).toEqual([undefined, undefined])
})

test('identifiers are unique and every coefficient says how sure it is', () => {
  const ids = RISK_MODELS.map(({ id }) => id)
  expect(new Set(ids).size).toBe(ids.length)
  for (const { coefficients } of RISK_MODELS) {
    expect(coefficients.length).toBeGreaterThan(0)
    for (const { value } of coefficients) expect(Number.isNaN(value)).toBe(false)
  }
})

test('reading order starts with the odds model, the score, the surgeon and the retina', () => {
  expect(
    riskStatements(brownLongEye)
      .slice(0, 4)
      .map(({ id }) => id),
  ).toEqual(['capsule-rupture-odds-2009', 'capsule-rupture-score-2004', 'surgeon-score-2020', 'retinal-detachment'])
})

test('the same input gives the same statements', () => {
  expect(riskStatements(brownLongEye)).toEqual(riskStatements(brownLongEye))
})
