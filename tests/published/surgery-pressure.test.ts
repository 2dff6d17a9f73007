import { describe, expect, it } from 'vitest'
import { MMHG_PER_CMH2O, staticInfusionPressure } from '../../src/surgery/infusion-pressure.js'
import { cmH2O } from '../../src/terms/units.js'

const pressureAt = (height: number): number => {
  const outcome = staticInfusionPressure(cmH2O(height))
  if (outcome.kind !== 'computed') throw new Error(outcome.reason)
  return outcome.value
}

describe('hydrostatic conversion', () => {
  /**
   * NIST Special Publication 811 (2008), appendix B: conventional centimetre of water 98.0665 Pa, conventional millimetre of
   * mercury 133.3224 Pa. (The centimetre of water at 4 °C, 98.0638 Pa, would give 0.735539.)
   */
  it('0.735559 mmHg in a conventional centimetre of water', () => {
    expect(MMHG_PER_CMH2O).toBeCloseTo(98.0665 / 133.3224, 6)
    expect(MMHG_PER_CMH2O).toBeCloseTo(0.735559, 6)
  })

  /** The same from the densities that define both units: water 1 g/cm³, mercury 13.5951 g/cm³. */
  it('is the ratio of the densities of water and mercury', () => {
    expect(MMHG_PER_CMH2O).toBeCloseTo(10 / 13.5951, 9)
  })

  /** One standard atmosphere, 101,325 Pa, is 760 mmHg and 1,033.23 cmH2O (10th General Conference on Weights and Measures, 1954). */
  it('one atmosphere is 760 mmHg', () => {
    expect((101325 / 98.0665) * MMHG_PER_CMH2O).toBeCloseTo(760, 3)
  })
})

describe('measured pressures stand above the static one', () => {
  /** Suzuki H et al. J Cataract Refract Surg 2009;35:2014-2017: porcine eyes, 50–60 mmHg at 65 cm, 20–30 mmHg at 19 cm. */
  it.each([
    [65, 50, 60],
    [19, 20, 30],
  ])('%i cm: measured %i to %i mmHg', (height, low, high) => {
    expect(low - pressureAt(height)).toBeGreaterThan(2)
    expect(high - pressureAt(height)).toBeLessThan(16.1)
  })

  /** Hejsek L et al. Biomed Pap 2019;163:75-79: nine human eyes, bottle 100 cm, 42–63 mmHg at the start of ultrasound: flow lowers it. */
  it('in human eyes with flow they stand below it', () => {
    expect(pressureAt(100)).toBeGreaterThan(63)
  })
})
