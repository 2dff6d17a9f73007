import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { LensList } from '../../src/case/lens-list.js'
import { lensPlan } from '../../src/plan/lens-plan.js'
import { longBrownEye, said } from './a-case.js'

const invented = (powers: LensList['lenses'][number]['powers'], modality: 'optical' | 'ultrasound' = 'optical'): LensList => ({
  title: 'invented for this test',
  invented: true,
  defaultLens: 'T1',
  lenses: [{ label: 'T1', fixation: 'bag', opticMm: 6, constants: { 'srk-t': { aConstant: 118.9, modality, eyes: 0 } }, powers }],
})
const HALF_STEPS = invented([{ fromD: -10, toD: 35, stepD: 0.5, supply: 'in-stock' }])

const keratometry = (meanD: number) => said({ meanD, indexGiven: 1.3375 })

describe('the recommended lens', () => {
  it('stands on the length-adjusted rows in a long eye and shows what the others would leave', () => {
    const { recommended, formulas } = lensPlan(longBrownEye(), undefined)
    expect(recommended?.powerD).toBe(9)
    expect(recommended?.leaves.highD).toBeCloseTo(-1.75, 2)
    expect(recommended?.leavesUnadjusted).toEqual({ lowD: expect.closeTo(-3.31, 2), highD: expect.closeTo(-2.41, 2) })
    expect(recommended?.awaitsPrint).toBe(true)
    expect(formulas.filter(({ basis }) => basis).every(({ adjustment }) => adjustment !== 'none')).toBe(true)
  })

  it('exists in the lens list and is never on the hyperopic side of the target by a row it stands on', () => {
    const range = fc.record({
      axialLength: fc.double({ min: 20, max: 35, noNaN: true }),
      keratometry: fc.double({ min: 39, max: 48, noNaN: true }),
      target: fc.double({ min: -4, max: 0.5, noNaN: true }),
    })
    const made = new Set(Array.from({ length: 91 }, (_, index) => -10 + index / 2))
    fc.assert(
      fc.property(range, (eye) => {
        const known = longBrownEye({
          axialLengthMm: said(eye.axialLength),
          keratometry: keratometry(eye.keratometry),
          targetRefractionD: said(eye.target),
          lensConstants: undefined,
        })
        const plan = lensPlan(known, HALF_STEPS)
        if (!plan.recommended) {
          expect(plan.noRecommendation).toBeTruthy()
          return
        }
        const { powerD, leaves } = plan.recommended
        expect(made.has(powerD)).toBe(true)
        expect(leaves.highD).toBeLessThan(eye.target + 0.005)
        for (const row of plan.formulas.filter(({ basis }) => basis)) {
          const at = row.predicted.find((predicted) => predicted.powerD === powerD)
          expect(at?.refractionD).toBeLessThan(eye.target + 0.005)
        }
      }),
      { numRuns: 200, seed: 7 },
    )
  })

  it('may be zero or negative and keeps its sign', () => {
    const known = longBrownEye({
      axialLengthMm: said(34),
      keratometry: keratometry(44),
      targetRefractionD: said(-0.5),
      lensConstants: undefined,
    })
    expect(lensPlan(known, HALF_STEPS).recommended?.powerD).toBeLessThan(0)
    const zero = invented([{ fromD: 0, toD: 0, stepD: 1, supply: 'to-order', orderDays: 10 }])
    const near = longBrownEye({
      axialLengthMm: said(32),
      keratometry: keratometry(44.2),
      targetRefractionD: said(0),
      lensConstants: undefined,
    })
    expect(lensPlan(near, zero).recommended).toMatchObject({ powerD: 0, supply: 'to-order', orderDays: 10 })
  })

  it('is withheld, with the nearest that is made, when a gap in the range leaves only a far stronger lens', () => {
    const plan = lensPlan(
      longBrownEye({ lensConstants: undefined }),
      invented([{ fromD: 18, toD: 30, stepD: 0.5, supply: 'in-stock' }]),
    )
    expect(plan.recommended).toBeUndefined()
    expect(plan.noRecommendation).toContain('+18.0 D')
  })

  it('is withheld when no lens is strong enough', () => {
    const plan = lensPlan(
      longBrownEye({ lensConstants: undefined }),
      invented([{ fromD: -5, toD: 5, stepD: 1, supply: 'in-stock' }]),
    )
    expect(plan.recommended).toBeUndefined()
    expect(plan.noRecommendation).toContain('+5.0 D')
  })
})

describe('rows that are set aside', () => {
  it('Haigis without its own constants has a number but does not count', () => {
    const row = lensPlan(longBrownEye(), undefined).formulas.find(
      ({ formula, adjustment }) => formula === 'haigis' && adjustment === 'none',
    )
    expect(row).toMatchObject({ counts: false, basis: false })
    expect(row?.powerForTargetD).toBeCloseTo(7.7, 1)
    expect(row?.reason).toMatch(/constants/)
  })

  it('Haigis with its own constants counts', () => {
    const constants = { aConstant: said(118.9), haigisA0: said(1.3), haigisA1: said(0.4), haigisA2: said(0.1) }
    const rows = lensPlan(longBrownEye({ lensConstants: constants }), undefined).formulas
    expect(rows.find(({ formula, adjustment }) => formula === 'haigis' && adjustment === 'wang-koch-2011')).toMatchObject({
      counts: true,
    })
  })

  it('SRK/T has no number where its root is negative, and says so', () => {
    const row = lensPlan(longBrownEye({ axialLengthMm: said(32), keratometry: keratometry(46) }), undefined).formulas.find(
      ({ formula, adjustment }) => formula === 'srk-t' && adjustment === 'none',
    )
    expect(row).toMatchObject({ counts: false })
    expect(row?.powerForTargetD).toBeUndefined()
    expect(row?.reason).toMatch(/undefined here/)
  })

  it('Hoffer Q beyond its clamp has a number but does not count', () => {
    const row = lensPlan(longBrownEye({ axialLengthMm: said(32) }), undefined).formulas.find(
      ({ formula, adjustment }) => formula === 'hoffer-q' && adjustment === 'none',
    )
    expect(row).toMatchObject({ counts: false })
    expect(row?.powerForTargetD).toBeDefined()
  })

  it('no set-aside value enters the spread', () => {
    const plan = lensPlan(longBrownEye(), undefined)
    const counting = plan.formulas.filter(({ counts }) => counts).map(({ powerForTargetD }) => powerForTargetD as number)
    expect(plan.spread).toEqual({ lowD: Math.min(...counting), highD: Math.max(...counting) })
  })
})

describe('what is missing or mixed', () => {
  it.each(['eye', 'axialLengthMm', 'keratometry', 'lensConstants'] as const)(
    'without %s there is no lens power and the plan says why',
    (fact) => {
      const plan = lensPlan(longBrownEye({ [fact]: undefined }), undefined)
      expect(plan.formulas).toEqual([])
      expect(plan.recommended).toBeUndefined()
      expect(plan.missing.map((missing) => missing.fact)).toEqual([fact])
    },
  )

  it('a target that was not stated is assumed and said to be', () => {
    const plan = lensPlan(longBrownEye({ targetRefractionD: undefined }), undefined)
    expect(plan.target).toEqual({ refractionD: 0, stated: false })
    expect(plan.notes.join(' ')).toMatch(/emmetropia/)
  })

  it('optical constants are never used with an ultrasound length', () => {
    const plan = lensPlan(longBrownEye({ axialLengthMethod: said('immersion'), lensConstants: undefined }), HALF_STEPS)
    expect(plan.recommended).toBeUndefined()
    expect(plan.noRecommendation).toMatch(/never mixed/)
    expect(plan.formulas.every(({ counts }) => !counts)).toBe(true)
  })

  it('a length of which nobody said how it was measured is not called optical where the constants are for ultrasound', () => {
    const ultrasound = invented([{ fromD: -10, toD: 35, stepD: 0.5, supply: 'in-stock' }], 'ultrasound')
    const plan = lensPlan(longBrownEye({ axialLengthMethod: undefined, lensConstants: undefined }), ultrasound)
    expect(plan.noRecommendation).toMatch(/this length is taken as optical: never mixed/)
  })

  it('no length adjustment is applied to an ultrasound length, and the plan says so', () => {
    const ultrasound = invented([{ fromD: -10, toD: 35, stepD: 0.5, supply: 'in-stock' }], 'ultrasound')
    const plan = lensPlan(longBrownEye({ axialLengthMethod: said('immersion'), lensConstants: undefined }), ultrasound)
    expect(plan.formulas.every(({ adjustment }) => adjustment === 'none')).toBe(true)
    expect(plan.recommended?.standsOn).toMatch(/hyperopic/)
    expect(plan.notes.join(' ')).toMatch(/not applied/)
  })

  it('a default lens is said to be assumed, and an unknown label is said to be unknown', () => {
    expect(lensPlan(longBrownEye({ lensConstants: undefined }), HALF_STEPS).notes.join(' ')).toMatch(/No lens was named/)
    const plan = lensPlan(longBrownEye({ lensConstants: undefined, lensLabel: said('T9') }), HALF_STEPS)
    expect(plan.missing.map(({ fact }) => fact)).toEqual(['lensConstants'])
    expect(plan.missing[0]?.wouldChange).toContain('"T9" is not in the lens list')
  })
})
