import { describe, expect, it } from 'vitest'
import { LENS_POSITION_UNCERTAINTY, REFRACTION_UNCERTAINTY } from '../../src/optics/error-sources.js'
import { describeDraws } from '../../src/optics/monte-carlo.js'
import { normalProbability } from '../../src/optics/normal-distribution.js'
import { normals, seeded } from '../../src/optics/random.js'
import { combined } from '../../src/optics/uncertainty.js'
import { closeTo, lastDigit } from '../optics/close-to.js'

/** JCGM 100:2008 (GUM), worked examples; from memory of the text. */
describe('GUM, worked examples', () => {
  it('5.2.2: ten resistors of 1000 ohm, each 100 milliohm uncertain and wholly correlated, are 1 ohm uncertain in series', () => {
    const each = Array.from({ length: 10 }, () => 0.1)
    closeTo(
      combined(each, () => 1),
      1,
      1e-12,
    )
    closeTo(combined(each), 0.316, lastDigit(3))
  })

  it('H.1: the end gauge of 50 mm is 32 nm uncertain', () => {
    closeTo(combined([25, 9.7, 2.9, 16.6]), 32, lastDigit(0))
  })
})

/** JCGM 101:2008 (GUM Supplement 1), 9.2.2: the sum of four standard normal quantities; estimate 0, uncertainty 2.0, interval -3.92 to 3.92. */
describe('GUM Supplement 1, 9.2.2', () => {
  const normal = normals(seeded(101))
  const draws = Float64Array.from({ length: 1_000_000 }, () => normal() + normal() + normal() + normal())
  const { mean, standardDeviation, low, high } = describeDraws(draws, 0)

  it('estimate and standard uncertainty', () => {
    closeTo(mean, 0, 0.01)
    closeTo(standardDeviation, 2, lastDigit(2))
  })
  it('95 % interval', () => {
    // The text itself gives -3.92 to 3.92 from 10^6 trials, with a numerical tolerance of 0.05.
    closeTo(low, -3.92, 0.05)
    closeTo(high, 3.92, 0.05)
  })
})

/** Any table of the normal distribution. */
describe('the normal distribution', () => {
  it.each([
    [0, 0.5],
    [0.5, 0.69146],
    [1, 0.84134],
    [1.645, 0.95002],
    [1.96, 0.975],
    [2.326, 0.98999],
    [3, 0.99865],
    [-1, 0.15866],
    [-2, 0.02275],
  ])('at %f', (z, probability) => closeTo(normalProbability(z), probability, lastDigit(5)))

  it('goes to its ends and stays there', () => {
    expect(normalProbability(40)).toBe(1)
    expect(normalProbability(-40)).toBe(0)
  })
})

/**
 * Norrby S. J Cataract Refract Surg 2008;34:368-376 (abstract): the lens position carries 35 % of the error variance, the
 * refraction 27 %, and the mean absolute error of an average eye is 0.6 D.
 */
describe('Norrby 2008', () => {
  // Mean absolute error of a normal distribution is its standard deviation times root(2/pi).
  const total = 0.6 * Math.sqrt(Math.PI / 2)
  it('the refraction', () => closeTo(REFRACTION_UNCERTAINTY.value, Math.sqrt(0.27) * total, lastDigit(2)))
  it('the lens position, at 1.46 D per mm', () => {
    closeTo(LENS_POSITION_UNCERTAINTY.value, (Math.sqrt(0.35) * total) / 1.46, 0.01)
  })
})
