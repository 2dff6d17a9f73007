import { describe, expect, it } from 'vitest'
import {
  anaestheticDoseFigure,
  MAXIMUM_DOSES,
  maximumDose,
  milligramsIn,
  millilitresFor,
  mixtureFraction,
} from '../../src/surgery/anaesthetic-dose.js'
import { kg, mg, mL } from '../../src/terms/units.js'

describe('the maximum of one drug', () => {
  it('60 kg of lidocaine plain is 180 mg, 9 mL of 2 %', () => {
    expect(maximumDose('lidocaine plain', kg(60))).toEqual({ kind: 'computed', value: 180 })
    expect(millilitresFor(mg(180), 2)).toEqual({ kind: 'computed', value: 9 })
    expect(milligramsIn(mL(9), 2)).toEqual({ kind: 'computed', value: 180 })
  })

  it('never passes the ceiling of the drug, at any weight', () => {
    for (const drug of Object.keys(MAXIMUM_DOSES) as (keyof typeof MAXIMUM_DOSES)[]) {
      expect(maximumDose(drug, kg(300))).toEqual({ kind: 'computed', value: MAXIMUM_DOSES[drug].ceilingMg })
    }
  })

  it.each([24.9, 300.1, Number.NaN])('a weight of %f kg is refused', (weight) => {
    expect(maximumDose('bupivacaine', kg(weight))).toMatchObject({ kind: 'outside-domain', quantity: 'weight' })
  })
})

describe('a mixture', () => {
  const half = [
    { drug: 'lidocaine plain', dose: mg(90) },
    { drug: 'bupivacaine', dose: mg(60) },
  ] as const

  it('60 kg: lidocaine 90 mg and bupivacaine 60 mg use the whole maximum', () => {
    const outcome = mixtureFraction(half, kg(60))
    expect(outcome).toMatchObject({ kind: 'computed', value: { sum: 1, withinMaximum: true } })
  })

  it('each within its own maximum may together be too much', () => {
    const outcome = mixtureFraction([{ drug: 'lidocaine plain', dose: mg(120) }, half[1]], kg(60))
    expect(outcome).toMatchObject({ kind: 'computed', value: { withinMaximum: false } })
  })

  it('no drug, a negative dose and NaN are refused', () => {
    expect(mixtureFraction([], kg(60)).kind).toBe('outside-domain')
    expect(mixtureFraction([{ drug: 'bupivacaine', dose: mg(-1) }], kg(60)).kind).toBe('outside-domain')
    expect(mixtureFraction([{ drug: 'bupivacaine', dose: mg(Number.NaN) }], kg(60)).kind).toBe('outside-domain')
  })
})

it.each([
  [101, 2],
  [-1, 2],
  [5, 0],
  [5, 11],
  [Number.NaN, 2],
])('%f mL of %f %% is refused', (volume, percent) => {
  expect(milligramsIn(mL(volume), percent).kind).toBe('outside-domain')
})

it('without a weight says so and gives the rule per kilogram', () => {
  const { words, values } = anaestheticDoseFigure({})
  expect(words).toContain('weight not stated; lidocaine plain 3')
  expect(values).toEqual([])
})
