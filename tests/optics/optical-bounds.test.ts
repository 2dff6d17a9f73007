import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { evaluate } from '../../src/optics/formulas.js'
import { isOpticallyPossible, powerBounds, pseudophakicEye, zoneError } from '../../src/optics/optical-bounds.js'
import { paraxialRefraction, paraxialSystem, thickLens } from '../../src/optics/paraxial.js'
import { FORMULAS, type FormulaId } from '../../src/terms/formulas.js'
import { dioptres, mm } from '../../src/terms/units.js'
import { closeTo } from './close-to.js'
import { formulaValues } from './formula-values.js'

const boundsOf = (axialLength: number, keratometry: number, target: number) => {
  const outcome = powerBounds(mm(axialLength), dioptres(keratometry), dioptres(target))
  if (outcome.kind !== 'computed') throw new Error(outcome.reason)
  return outcome.value
}

describe('the bounds that anatomy sets on lens power', () => {
  const possible = (formula: FormulaId, row: ReturnType<typeof formulaValues>[number]) => {
    const eye = {
      axialLength: mm(row.at('AL')),
      keratometry: dioptres(row.at('K')),
      anteriorChamberDepth: mm(row.at('ACD')),
    }
    const target = dioptres(row.at('target'))
    const outcome = evaluate(formula, eye, { aConstant: row.at('A') }, { adjustment: 'none' })
    if (outcome.kind !== 'computed') return 'no number'
    return isOpticallyPossible(eye.axialLength, eye.keratometry, target, outcome.value.powerFor(target))
  }

  it.each(formulaValues().filter((row) => row.at('AL') < 31.9))(
    'hold every formula possible in eyes to 31.9 mm, row $row',
    (row) => {
      for (const formula of FORMULAS)
        expect([{ kind: 'computed', value: true }, 'no number']).toContainEqual(possible(formula, row))
    },
  )

  it('find the answers of T2 and of the clamped Hoffer Q impossible in an eye of 36 mm under 47 D', () => {
    const row = formulaValues().find((each) => each.row === 30)
    if (row === undefined) throw new Error('row 30')
    expect(FORMULAS.map((formula) => possible(formula, row))).toEqual([
      'no number',
      { kind: 'computed', value: false },
      { kind: 'computed', value: true },
      { kind: 'computed', value: false },
      { kind: 'computed', value: true },
    ])
  })

  it('narrow towards zero power, where the position of the lens no longer matters', () => {
    const width = ({ low, high }: ReturnType<typeof boundsOf>) => high - low
    expect(width(boundsOf(31.3, 43.5, 0))).toBeLessThan(2)
    expect(width(boundsOf(23.5, 43.5, 0))).toBeGreaterThan(6)
  })

  it('refuse an eye outside their range', () => {
    expect(powerBounds(mm(12), dioptres(43), dioptres(0))).toMatchObject({ kind: 'outside-domain', quantity: 'axial length' })
    expect(powerBounds(mm(30), dioptres(43), dioptres(20))).toMatchObject({ kind: 'outside-domain', quantity: 'target' })
  })
})

describe('the eye of real surfaces', () => {
  const anatomy = { length: mm(30), keratometry: dioptres(43), posteriorToAnterior: 0.86, lensFront: mm(5) }

  it('holds a lens of the power asked for, of either sign', () => {
    fc.assert(
      fc.property(fc.double({ min: -15, max: 35, noNaN: true }), (power) => {
        fc.pre(Math.abs(power) > 1e-3)
        const [, , front, back] = pseudophakicEye({ ...anatomy, lensPower: dioptres(power) })
        if (front === undefined || back === undefined) throw new Error('four surfaces')
        const lens = thickLens({
          front: front.radius,
          back: back.radius,
          thickness: front.thickness,
          index: front.index,
          medium: back.index,
        })
        closeTo(lens.power, power, 1e-9)
      }),
    )
  })

  it('is the same eye without a lens, whatever stands for zero power', () => {
    const none = pseudophakicEye({ ...anatomy, lensPower: dioptres(0) })
    const little = pseudophakicEye({ ...anatomy, lensPower: dioptres(1e-9) })
    closeTo(paraxialRefraction(none).atSpectacle, paraxialRefraction(little).atSpectacle, 1e-6)
    closeTo(paraxialSystem(none).length, 30, 1e-12)
  })

  it('is more myopic in a wide pupil than at its centre', () => {
    const eye = pseudophakicEye({ ...anatomy, lensPower: dioptres(4) })
    const narrow = zoneError(eye, mm(1))
    const wide = zoneError(eye, mm(2.5))
    if (narrow.kind !== 'computed' || wide.kind !== 'computed') throw new Error('a ray was lost')
    expect(narrow.value).toBeLessThan(0)
    expect(wide.value).toBeLessThan(narrow.value)
    expect(zoneError(eye, mm(5))).toMatchObject({ kind: 'outside-domain', quantity: 'zone' })
  })
})
