import { describe, expect, it } from 'vitest'
import { COEFFICIENTS, evaluate } from '../../src/optics/formulas.js'
import { adjustLength, adjustmentsFor } from '../../src/optics/length-adjustments.js'
import type { LensConstants } from '../../src/optics/lens-formula.js'
import { srkTLensPosition } from '../../src/optics/srk-t.js'
import { FORMULAS, type FormulaId } from '../../src/terms/formulas.js'
import { dioptres, mm } from '../../src/terms/units.js'

const OWN: LensConstants = {
  aConstant: 118.7,
  surgeonFactor: mm(1.62),
  personalisedAcd: mm(5.37),
  haigis: { a0: mm(1.2), a1: 0.4, a2: 0.1 },
}

const ask = (formula: FormulaId, axialLength: number, keratometry: number, constants = OWN, anteriorChamberDepth = 3.6) =>
  evaluate(
    formula,
    { axialLength: mm(axialLength), keratometry: dioptres(keratometry), anteriorChamberDepth: mm(anteriorChamberDepth) },
    constants,
    { adjustment: 'none' },
  )

const answer = (...asked: Parameters<typeof ask>) => {
  const outcome = ask(...asked)
  if (outcome.kind !== 'computed') throw new Error(outcome.reason)
  return outcome.value
}
const codes = (...asked: Parameters<typeof ask>) => answer(...asked).flags.map(({ code }) => code)

describe('SRK/T under a steep cornea', () => {
  /** Lengths from which the radicand is negative, by an independent transcription. */
  it.each([
    [44.7, 35.955],
    [45, 33.128],
    [45.5, 31.213],
    [46, 29.871],
    [46.5, 28.785],
    [47, 27.853],
    [47.5, 27.028],
    [48, 26.283],
    [49, 24.968],
    [50, 23.985],
  ])('is undefined at %f D from %f mm, with the reason, and set aside just before', (keratometry, limit) => {
    expect(ask('srk-t', limit + 0.001, keratometry)).toMatchObject({
      kind: 'outside-domain',
      quantity: 'computed corneal width',
      reason: expect.stringContaining('SRK/T is undefined here'),
    })
    const inside = answer('srk-t', limit - 0.001, keratometry)
    expect(inside.setAside).toContain('unreliable')
    expect(inside.flags.map(({ code }) => code)).toContain('srk-t-near-its-limit')
  })

  it('never meets the limit at 44.5 D or less', () => {
    for (let axialLength = 20; axialLength <= 40; axialLength += 0.05) {
      expect(ask('srk-t', axialLength, 44.5).kind).toBe('computed')
    }
  })

  it('has a bare position that is not a number rather than a clamped one', () => {
    expect(srkTLensPosition(mm(32), dioptres(46), 118.4)).toBeNaN()
  })

  it('counts in an ordinary eye and in a long eye under a middling cornea', () => {
    expect(answer('srk-t', 23.5, 43.5)).not.toHaveProperty('setAside')
    expect(answer('srk-t', 30, 43).flags).toEqual([])
  })

  it('is set aside beyond 36.2 mm, where its corrected length falls', () => {
    expect(codes('srk-t', 36.1, 41)).toEqual([])
    expect(codes('srk-t', 36.3, 41)).toEqual(['srk-t-length-past-peak'])
    expect(answer('srk-t', 36.3, 41).setAside).toBeDefined()
  })
})

describe('limits that the other formulas state', () => {
  it('Hoffer Q is set aside outside 18.5 to 31 mm, with its number', () => {
    expect(codes('hoffer-q', 31, 43)).toEqual([])
    for (const axialLength of [31.01, 18.4]) {
      const clamped = answer('hoffer-q', axialLength, 43)
      expect(clamped.setAside).toContain('18.5 to 31 mm')
      expect(clamped.powerFor(dioptres(0))).toBeTypeOf('number')
    }
  })

  it('Hoffer Q clamps the length in its chamber depth only', () => {
    // Clamped in the optics as well, this eye would be given a plus lens.
    expect(answer('hoffer-q', 34, 43).powerFor(dioptres(0))).toBeLessThan(-5)
  })

  it('Holladay 1 notes its width cap and still counts', () => {
    expect(codes('holladay-1', 25.3, 43)).toEqual([])
    expect(codes('holladay-1', 25.33, 43)).toEqual(['holladay-1-width-cap'])
    expect(answer('holladay-1', 28, 43)).not.toHaveProperty('setAside')
  })

  it('Holladay 1 is set aside on its radius floor of 7 mm', () => {
    expect(codes('holladay-1', 24, 48.2)).toEqual([])
    expect(answer('holladay-1', 24, 48.3).setAside).toContain('7 mm')
  })

  it('T2 notes that its position grows without limit', () => {
    expect(codes('t2', 30, 43)).toEqual([])
    expect(codes('t2', 32, 43)).toEqual(['t2-position-unbounded'])
  })

  it('Haigis from an A-constant is set aside, and counts with its own constants', () => {
    expect(answer('haigis', 30, 43, { aConstant: 118.7 }).setAside).toContain('without its own constants')
    expect(answer('haigis', 30, 43)).not.toHaveProperty('setAside')
  })

  it('a surgeon factor or a chamber depth converted from A is flagged and counts', () => {
    for (const formula of ['holladay-1', 'hoffer-q'] as const) {
      expect(codes(formula, 24, 43, { aConstant: 118.7 })).toEqual(['constant-converted'])
      expect(answer(formula, 24, 43, { aConstant: 118.7 })).not.toHaveProperty('setAside')
      expect(codes(formula, 24, 43)).toEqual([])
    }
  })
})

describe.each(FORMULAS)('%s', (formula) => {
  it.each([
    ['axial length', 14.9, 43],
    ['axial length', 235, 43],
    ['axial length', Number.NaN, 43],
    ['keratometry', 24, 29.9],
    ['keratometry', 24, 60.1],
    ['keratometry', 24, 7.8],
  ])('refuses %s of an eye of %f mm and %f D, and names it', (quantity, axialLength, keratometry) => {
    expect(ask(formula, axialLength, keratometry)).toMatchObject({ kind: 'outside-domain', quantity })
  })

  it('says which constant it lacks', () => {
    const outcome = ask(formula, 24, 43, {})
    expect(outcome).toMatchObject({ kind: 'outside-domain', reason: expect.stringContaining('was not given') })
  })

  it('cites its paper and lists its numbers', () => {
    const published = COEFFICIENTS.find(({ id }) => id === formula)
    expect(published?.source.cite).toMatch(/\d{4};\d+:\d+/)
    expect(published?.coefficients.length).toBeGreaterThan(0)
    expect(published?.coefficients.every(({ value }) => Number.isFinite(value))).toBe(true)
  })
})

it('Haigis says that it lacks the anterior chamber depth', () => {
  const eye = { axialLength: mm(24), keratometry: dioptres(43) }
  expect(evaluate('haigis', eye, OWN, { adjustment: 'none' })).toMatchObject({ quantity: 'anterior chamber depth' })
})

describe('length adjustments', () => {
  it('hold above their own thresholds and for their own formulas', () => {
    expect(adjustmentsFor('holladay-1', mm(25))).toEqual(['cooke-2019'])
    expect(adjustmentsFor('holladay-1', mm(25.01))).toEqual(['wang-koch-2011', 'cooke-2019'])
    expect(adjustmentsFor('holladay-1', mm(26.51))).toEqual(['wang-koch-2011', 'wang-koch-2018', 'cooke-2019'])
    expect(adjustmentsFor('srk-t', mm(26.9))).toEqual(['wang-koch-2011', 'cooke-2019'])
    expect(adjustmentsFor('hoffer-q', mm(30))).toEqual(['wang-koch-2011', 'cooke-2019'])
    expect(adjustmentsFor('t2', mm(30))).toEqual([])
  })

  it('hold for no length by ultrasound and for no sum of segments', () => {
    expect(adjustmentsFor('srk-t', mm(30), 'ultrasound')).toEqual([])
    expect(adjustmentsFor('srk-t', mm(30), 'sum-of-segments')).toEqual([])
    expect(adjustLength('wang-koch-2011', 'srk-t', mm(30), 'ultrasound')).toMatchObject({ kind: 'outside-domain' })
  })

  it('are never stacked on a sum of segments: that is a fault of the caller', () => {
    expect(() => adjustLength('wang-koch-2011', 'srk-t', mm(30), 'sum-of-segments')).toThrow('OPTICS.ADJUSTMENT_ON_ADJUSTMENT')
    expect(() => adjustLength('cooke-2019', 'srk-t', mm(30), 'sum-of-segments', mm(4.5))).toThrow('"none"')
  })

  it('ask for the lens thickness where they need it', () => {
    expect(adjustLength('cooke-2019', 'srk-t', mm(30))).toMatchObject({ quantity: 'lens thickness' })
  })

  it('warn near the threshold, where they step and may lengthen the eye', () => {
    const near = adjustLength('wang-koch-2011', 'srk-t', mm(25.2))
    if (near.kind !== 'computed') throw new Error(near.reason)
    expect(near.value.flags.map(({ code }) => code)).toEqual(['adjustment-near-threshold', 'adjustment-lengthens'])
  })

  it('always ask for more plus', () => {
    for (const formula of FORMULAS) {
      for (const adjustment of adjustmentsFor(formula, mm(30))) {
        const eye = { axialLength: mm(30), keratometry: dioptres(43), anteriorChamberDepth: mm(3.6) }
        const adjusted = evaluate(formula, eye, OWN, { adjustment, lensThickness: mm(4.5) })
        if (adjusted.kind !== 'computed') throw new Error(adjusted.reason)
        expect(adjusted.value.powerFor(dioptres(-1))).toBeGreaterThan(answer(formula, 30, 43).powerFor(dioptres(-1)))
      }
    }
  })
})
