import { describe, expect, it } from 'vitest'
import { paraxialRefraction, paraxialSystem, type Surface, thickLens } from '../../src/optics/paraxial.js'
import { axisCrossing, realRayRefraction } from '../../src/optics/real-ray.js'
import { mm } from '../../src/terms/units.js'
import { closeTo, lastDigit } from './close-to.js'

type Row = readonly [radius: number, thickness: number, index: number, conic?: number]
const surfaces = (...rows: Row[]): readonly Surface[] =>
  rows.map(([radius, thickness, index, conic = 0]) => ({ radius: mm(radius), thickness: mm(thickness), index, conic }))

/** Pseudophakic eyes of spherical surfaces, worked by an independent transcription; digits as it printed them. */
const EYES = [
  {
    name: 'a plus lens in 23.5 mm',
    eye: surfaces([7.7, 0.5, 1.376], [6.8, 4.1, 1.336], [12, 0.9, 1.46], [-12, 18, 1.336]),
    power: 60.29238,
    atCornea: 0.354899,
    atSpectacle: 0.353394,
  },
  {
    name: 'a weak plano-convex lens in 31 mm',
    eye: surfaces([7.9, 0.55, 1.376], [6.7, 4.6, 1.336], [Number.POSITIVE_INFINITY, 0.6, 1.46], [-40, 25.25, 1.336]),
    power: 44.28072,
    atCornea: -0.73086,
    atSpectacle: -0.737326,
  },
  {
    name: 'a minus lens in 34 mm',
    eye: surfaces([7.8, 0.55, 1.376], [6.6, 4.7, 1.336], [-30, 0.5, 1.46], [60, 28.25, 1.336]),
    power: 37.13001,
    atCornea: 1.293815,
    atSpectacle: 1.274034,
  },
  {
    name: 'a plano-concave lens in 33 mm',
    eye: surfaces([7.7, 0.55, 1.376], [6.5, 4.7, 1.336], [Number.POSITIVE_INFINITY, 0.5, 1.46], [25, 27.25, 1.336]),
    power: 38.75372,
    atCornea: 0.986819,
    atSpectacle: 0.97527,
  },
]

describe.each(EYES)('$name', ({ eye, power, atCornea, atSpectacle }) => {
  it('keeps its paraxial power and refraction', () => {
    closeTo(paraxialSystem(eye).power, power, lastDigit(5))
    closeTo(paraxialRefraction(eye).atCornea, atCornea, lastDigit(6))
    closeTo(paraxialRefraction(eye).atSpectacle, atSpectacle, lastDigit(6))
  })

  it('is traced exactly to the paraxial values as the zone shrinks', () => {
    const near = realRayRefraction(eye, mm(1e-4))
    const crossing = axisCrossing(eye, mm(1e-4))
    if (near.kind !== 'computed' || crossing.kind !== 'computed') throw new Error('a ray was lost')
    closeTo(near.value.atSpectacle, atSpectacle, 1e-6)
    closeTo(crossing.value, paraxialSystem(eye).backFocalLength, 1e-6)
  })

  it('is more myopic towards the edge of the pupil, its surfaces being spheres', () => {
    const edge = realRayRefraction(eye, mm(2))
    if (edge.kind !== 'computed') throw new Error(edge.reason)
    expect(edge.value.atSpectacle).toBeLessThan(atSpectacle - 0.1)
  })
})

describe('a ray that never reaches the retina', () => {
  it('is said to be lost', () => {
    expect(axisCrossing(surfaces([7.8, 0, 1.376]), mm(9))).toMatchObject({ kind: 'outside-domain', quantity: 'ray height' })
  })
})

describe('a thick lens', () => {
  it.each([
    [12, -12, 0.9, 20.60084, 0.4131, -0.4131],
    [20, -30, 0.75, 10.32017, 0.27487, -0.41231],
    [Number.POSITIVE_INFINITY, -40, 0.6, 3.1, 0.54904, 0],
    [-30, 60, 0.5, -6.20293, 0.15244, -0.30488],
    [Number.POSITIVE_INFINITY, 25, 0.5, -4.96, 0.45753, 0],
  ])('of radii %d and %d mm keeps its power and principal points', (front, back, thickness, power, first, second) => {
    const lens = thickLens({ front: mm(front), back: mm(back), thickness: mm(thickness), index: 1.46, medium: 1.336 })
    closeTo(lens.power, power, 2e-5)
    closeTo(lens.firstPrincipal, first, 2e-5)
    closeTo(lens.secondPrincipal, second, 2e-5)
  })
})
