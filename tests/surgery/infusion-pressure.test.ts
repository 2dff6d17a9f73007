import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  cmH2OFromMmHg,
  infusionPressureFigure,
  mmHgFromCmH2O,
  pressureBand,
  staticInfusionPressure,
} from '../../src/surgery/infusion-pressure.js'
import { cmH2O, mmHg } from '../../src/terms/units.js'

describe('conversion', () => {
  it('goes both ways without loss', () => {
    fc.assert(
      fc.property(fc.double({ min: -200, max: 200, noNaN: true }), (height) => {
        expect(cmH2OFromMmHg(mmHgFromCmH2O(cmH2O(height)))).toBeCloseTo(height, 9)
      }),
    )
  })
})

describe('static pressure', () => {
  it.each([
    [60, 44.1],
    [100, 73.6],
  ])('%i cm is %f mmHg', (height, pressure) => {
    expect(staticInfusionPressure(cmH2O(height))).toMatchObject({ kind: 'computed', value: expect.closeTo(pressure, 1) })
  })

  it.each([-0.1, 200.1, Number.NaN])('%f cm is refused', (height) => {
    expect(staticInfusionPressure(cmH2O(height))).toMatchObject({ kind: 'outside-domain', quantity: 'bottle height' })
  })

  it('is low under 45, middle to 65, high above, by convention', () => {
    expect([44.9, 45, 65, 65.1].map((pressure) => pressureBand(mmHg(pressure)))).toEqual(['low', 'middle', 'middle', 'high'])
  })
})

describe('the figure', () => {
  it('gives the bottle in both units with its caveat, and asks which infusion it is', () => {
    const { words, values } = infusionPressureFigure({ bottleHeightCm: 60 })
    expect(words).toContain('Bottle 60 cm: about 44 mmHg static, no flow')
    expect(words).toContain('measured 2 to 16 mmHg more in porcine eyes')
    expect(words).toContain('Ask: gravity or active infusion?')
    expect(values.map(({ unit }) => unit)).toEqual(['cmH2O', 'mmHg'])
  })

  it('with active infusion a bottle height means nothing', () => {
    const { words, values } = infusionPressureFigure({ bottleHeightCm: 60, activeInfusion: true })
    expect(words).toContain('the bottle height of 60 cm means nothing')
    expect(values).toEqual([])
  })

  it('a set pressure is shown in both units, whatever the bottle', () => {
    const { words } = infusionPressureFigure({ infusionPressureMmHg: 55, bottleHeightCm: 90, activeInfusion: true })
    expect(words).toBe('Infusion 55 mmHg (75 cmH2O), as set; middle by convention')
  })

  it('gravity stated asks nothing more, and nothing stated asks', () => {
    expect(infusionPressureFigure({ bottleHeightCm: 60, activeInfusion: false }).words).not.toContain('Ask')
    expect(infusionPressureFigure({}).words).toContain('not stated. Ask')
  })

  it.each([{ infusionPressureMmHg: 121 }, { bottleHeightCm: Number.NaN }])('%o is out of range', (input) => {
    expect(infusionPressureFigure(input).outOfRange).toBeDefined()
  })
})
