import { describe, expect, it } from 'vitest'
import { type ForecastConditions, forecastOf } from '../../src/optics/forecast.js'
import type { EvaluationOptions } from '../../src/optics/formulas.js'
import type { LengthKind } from '../../src/optics/length-adjustments.js'
import { dioptres, mm } from '../../src/terms/units.js'
import { closeTo } from './close-to.js'

const forecast = (over: Partial<ForecastConditions> = {}, options: Partial<EvaluationOptions> = {}, axialLength = 31) => {
  const outcome = forecastOf(
    'holladay-1',
    { axialLength: mm(axialLength), keratometry: dioptres(43), anteriorChamberDepth: mm(3.6) },
    { aConstant: 118.7 },
    { adjustment: 'none', lensThickness: mm(4.5), ...options },
    dioptres(4.5),
    { lengthMethod: 'optical', staphyloma: false, constantsFor: 'optical', ...over },
  )
  if (outcome.kind !== 'computed') throw new Error(outcome.reason)
  return outcome.value
}

describe('a forecast', () => {
  it('names its model, population and years beside its chances', () => {
    const { model, population, years, unbiased } = forecast()
    for (const words of [model, population, years]) expect(words).not.toBe('')
    expect(unbiased.withinHalf).toBeGreaterThan(0.6)
    expect(unbiased.withinOne).toBeGreaterThan(unbiased.withinHalf)
  })

  it('is more often hyperopic when the tendency of one index for a long eye holds', () => {
    const { biases, biased, unbiased, predicted } = forecast()
    expect(biases).toHaveLength(1)
    closeTo(biases[0]?.bias ?? 0, 0.44, 0.03)
    expect(biased?.hyperopicSurprise).toBeGreaterThan(2 * unbiased.hyperopicSurprise)
    expect(biased?.interval.high).toBeGreaterThan(unbiased.interval.high)
    closeTo((unbiased.interval.low + unbiased.interval.high) / 2, predicted, 1e-9)
  })

  it.each<[string, Partial<EvaluationOptions>]>([
    ['an adjusted length', { adjustment: 'wang-koch-2011' }],
    ['a sum of segments', { lengthKind: 'sum-of-segments' satisfies LengthKind }],
    ['an unknown lens thickness', { lensThickness: undefined }],
  ])('names no such tendency for %s', (_, options) => {
    expect(forecast({}, options)).not.toHaveProperty('biased')
  })

  it('names no such tendency in a short eye', () => expect(forecast({}, {}, 22).biases).toEqual([]))

  it('warns of myopia where ultrasound meets constants for optical lengths, and not where they belong together', () => {
    const contact = forecast({ lengthMethod: 'contact' }, { lengthKind: 'ultrasound' })
    expect(contact.biases[0]?.bias).toBeLessThan(-0.6)
    expect(contact.measureAgain[0]?.action).toContain('optically')
    expect(forecast({ lengthMethod: 'contact', constantsFor: 'ultrasound' }, { lengthKind: 'ultrasound' }).biases).toEqual([])
  })

  it('does not take constants of which nobody said the kind for the right ones: an ultrasound length may end myopic', () => {
    const { biases, biased, unbiased } = forecast(
      { lengthMethod: 'immersion', constantsFor: 'not-stated' },
      { lengthKind: 'ultrasound' },
    )
    expect(biases[0]?.words).toMatch(/which nobody said/)
    expect(biases[0]?.bias).toBeLessThan(-0.2)
    expect(biased?.withinHalf).toBeLessThan(unbiased.withinHalf)
  })

  it('gives the reason where the formula is undefined', () => {
    const outcome = forecastOf(
      'srk-t',
      { axialLength: mm(33), keratometry: dioptres(47) },
      { aConstant: 118.7 },
      { adjustment: 'none' },
      dioptres(0),
      { lengthMethod: 'optical', staphyloma: false, constantsFor: 'optical' },
    )
    expect(outcome).toMatchObject({ kind: 'outside-domain', reason: expect.stringContaining('SRK/T is undefined') })
  })

  it('shows each effect in its working', () => {
    const { working, budget } = forecast()
    expect(working.steps.map(({ name }) => name)).toEqual([
      ...budget.contributions.map(({ errorSource }) => `effect of ${errorSource}`),
      'standard deviation',
    ])
  })
})
