import { describe, expect, it } from 'vitest'
import { MAXIMUM_DOSES } from '../../src/surgery/anaesthetic-dose.js'
import { capsularBagDiameter, TURNS_OVER_AT_MM } from '../../src/surgery/capsular-bag.js'
import {
  cellsAfterYears,
  endotheliumForecast,
  LOSS_BY_DENSITY,
  YEARLY_LOSS_AFTER_SURGERY,
} from '../../src/surgery/endothelium.js'
import { cellsPerMm2, dioptres, mm, years } from '../../src/terms/units.js'

const numberOf = (outcome: { readonly kind: string; readonly value?: number }): number => {
  if (outcome.value === undefined) throw new Error(outcome.kind)
  return outcome.value
}

/** Vass C et al. J Cataract Refract Surg 1999;25:1376-1381: 70 eyes in vivo, mean 10.37 mm, standard deviation 0.25 mm. */
describe('capsular bag diameter, 1999', () => {
  it('an ordinary eye lies within one standard deviation of the mean printed', () => {
    for (const [length, power] of [
      [23.0, 43.5],
      [23.5, 43.0],
      [24.0, 43.0],
    ] as const) {
      const diameter = numberOf(capsularBagDiameter(mm(length), dioptres(power)))
      expect(Math.abs(diameter - 10.37)).toBeLessThan(0.25)
    }
  })

  it('the printed quadratic turns over at 26.4 mm, which is where it is refused', () => {
    expect(0.713 / (2 * 0.0135)).toBeCloseTo(TURNS_OVER_AT_MM, 1)
  })
})

/** Bourne WM, Nelson LR, Hodge DO. Invest Ophthalmol Vis Sci 1997;38:779-782: 42 adults, 2,715 cells/mm², 2,539 after 10.6 years. */
it('ageing at 0.6 % a year meets the printed count within the printed spread (0.5 % a year)', () => {
  const modelled = numberOf(cellsAfterYears(cellsPerMm2(2715), years(10.6)))
  expect(modelled).toBeCloseTo(2548, 0)
  expect(Math.abs(modelled - 2539) / 2539).toBeLessThan(0.005)
})

/** Bourne WM, Nelson LR, Hodge DO. Ophthalmology 1994;101:1014-1022 (abstract): median loss from 1 to 10 years 2.5 % a year. */
it('after surgery ten years leave what 2.5 % a year leaves', () => {
  const modelled = numberOf(cellsAfterYears(cellsPerMm2(2000), years(10), YEARLY_LOSS_AFTER_SURGERY))
  expect(modelled).toBeGreaterThan(2000 * 0.975 ** 10 - 6)
  expect(modelled).toBeLessThan(2000 * 0.975 ** 10 + 6)
})

/** Chen HC et al. J Clin Med 2021;10:2270: losses by count before surgery. */
it('the losses by group are those printed', () => {
  expect(LOSS_BY_DENSITY.map(({ mean, sd }) => [mean, sd])).toEqual([
    [0.199, 0.054],
    [0.289, 0.092],
    [0.15, 0.12],
  ])
})

/** Yamazoe K et al. J Cataract Refract Surg 2011;37:2043-2047: 693 cells/mm² fell to 611. */
it('the printed fall from 693 to 611 lies inside the range shown', () => {
  const outcome = endotheliumForecast(cellsPerMm2(693))
  if (outcome.kind !== 'computed') throw new Error(outcome.reason)
  expect(611).toBeGreaterThan(outcome.value.low)
  expect(611).toBeLessThan(outcome.value.high)
})

/** Therapeutic Guidelines (Australia), Toxicology and toxinology, table 1: maximum recommended regional doses, mg/kg. */
it.each([
  ['lidocaine plain', 3],
  ['lidocaine with adrenaline', 7],
  ['bupivacaine', 2],
  ['ropivacaine', 3],
  ['prilocaine', 6],
] as const)('%s: %i mg/kg', (drug, perKg) => {
  expect(MAXIMUM_DOSES[drug].perKg).toBe(perKg)
})
