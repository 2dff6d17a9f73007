import fc from 'fast-check'
import { describe, it } from 'vitest'
import type { Surface } from '../../src/optics/paraxial.js'
import { axisCrossing } from '../../src/optics/real-ray.js'
import { mm } from '../../src/terms/units.js'
import { closeTo } from '../optics/close-to.js'

type Row = readonly [radius: number, thickness: number, index: number, conic: number]
const surfaces = (...rows: Row[]): readonly Surface[] =>
  rows.map(([radius, thickness, index, conic]) => ({ radius: mm(radius), thickness: mm(thickness), index, conic }))

/** Descartes, La Dioptrique (1637): an ellipsoid of eccentricity n/n' unites parallel light in one point, and so does a hyperboloid behind a plane. */
describe('the surfaces of Descartes', () => {
  it('unite parallel rays exactly, whatever their height', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1.2, max: 1.9, noNaN: true }),
        fc.double({ min: 0.01, max: 4, noNaN: true }),
        (index, height) => {
          const ellipsoid = axisCrossing(surfaces([7.8, 0, index, -1 / (index * index)]), mm(height))
          if (ellipsoid.kind !== 'computed') throw new Error(ellipsoid.reason)
          closeTo(ellipsoid.value, (7.8 * index) / (index - 1), 1e-6)
          const hyperboloid = axisCrossing(
            surfaces([Number.POSITIVE_INFINITY, 3, index, 0], [-20, 0, 1, -index * index]),
            mm(height),
          )
          if (hyperboloid.kind !== 'computed') throw new Error(hyperboloid.reason)
          closeTo(hyperboloid.value, 20 / (index - 1), 1e-6)
        },
      ),
    )
  })
})
