import { describe, it } from 'vitest'
import { paraxialRefraction, paraxialSystem, type Surface } from '../../src/optics/paraxial.js'
import { mm } from '../../src/terms/units.js'
import { closeTo, lastDigit } from '../optics/close-to.js'

const surfaces = (rows: readonly (readonly [radius: number, thickness: number, index: number])[]): readonly Surface[] =>
  rows.map(([radius, thickness, index]) => ({ radius: mm(radius), thickness: mm(thickness), index }))

/** Surfaces and powers of the textbook eyes; the printed figures are from memory of the textbooks named. */
const EYES = [
  {
    name: 'Gullstrand No. 1, relaxed (Helmholtz, Physiological Optics 1909, appendix)',
    eye: surfaces([
      [7.7, 0.5, 1.376],
      [6.8, 3.1, 1.336],
      [10, 0.546, 1.386],
      [7.911, 2.419, 1.406],
      [-5.76, 0.635, 1.386],
      [-6, 17.185, 1.336],
    ]),
    power: 58.64,
    powerTolerance: lastDigit(2),
    length: 24.385,
    // The printed eye has its retina at the focus to the digits given.
    emmetropicWithin: 0.01,
  },
  {
    name: 'Gullstrand-Emsley (Emsley 1952; Bennett and Rabbetts)',
    eye: surfaces([
      [7.8, 3.6, 4 / 3],
      [10, 3.6, 1.416],
      [-6, 16.69, 4 / 3],
    ]),
    power: 60.49,
    // Printed 60.49; its own surfaces give 60.483. Off by 0.007.
    powerTolerance: 0.01,
    length: 23.89,
    emmetropicWithin: 0.02,
  },
  {
    name: 'Le Grand, full theoretical eye, relaxed (Le Grand and El Hage, Physiological Optics)',
    eye: surfaces([
      [7.8, 0.55, 1.3771],
      [6.5, 3.05, 1.3374],
      [10.2, 4, 1.42],
      [-6, 16.5966, 1.336],
    ]),
    power: 59.94,
    powerTolerance: lastDigit(2),
    length: 24.197,
    emmetropicWithin: 0.01,
  },
  {
    name: 'Navarro, paraxial (J Opt Soc Am A 1985;2:1273)',
    eye: surfaces([
      [7.72, 0.55, 1.376],
      [6.5, 3.05, 1.3374],
      [10.2, 4, 1.42],
      [-6, 16.4, 1.336],
    ]),
    power: 60.4,
    powerTolerance: lastDigit(1),
    length: 24,
    emmetropicWithin: 0.02,
  },
]

describe.each(EYES)('$name', ({ eye, power, powerTolerance, length, emmetropicWithin }) => {
  it('has the printed power', () => closeTo(paraxialSystem(eye).power, power, powerTolerance))
  it('has the printed length', () => closeTo(paraxialSystem(eye).length, length, lastDigit(3)))
  it('focuses distance on its retina', () => closeTo(paraxialRefraction(eye).atSpectacle, 0, emmetropicWithin))
})

/** Olsen T. Calculation of intraocular lens power: a review. Acta Ophthalmol Scand 2007;85:472-485 (from memory of the text). */
describe('the cornea of Olsen 2007, 7.7 and 6.8 mm, 0.5 mm thick', () => {
  const cornea = surfaces([
    [7.7, 0.5, 1.376],
    [6.8, 0, 1.336],
  ])
  it('has 43.05 D', () => closeTo(paraxialSystem(cornea).power, 43.05, lastDigit(2)))
  it('has the equivalent index 1.3315', () => {
    closeTo(1 + (paraxialSystem(cornea).power * 7.7) / 1000, 1.3315, lastDigit(4))
  })
})
