import { describe, expect, it } from 'vitest'
import { factsOfCase } from '../../src/plan/facts-of-case.js'
import { riskInputOf } from '../../src/plan/risk-input-of.js'
import { FACTS } from '../../src/precautions/facts.js'
import { longBrownEye, said } from './a-case.js'

describe('the facts that rules see', () => {
  it('are all declared ones, and null wherever the case is silent', () => {
    const facts = factsOfCase({}, undefined)
    expect(Object.keys(facts).sort()).toEqual(Object.keys(FACTS).sort())
    expect(Object.values(facts).every((value) => value === null)).toBe(true)
  })

  it('carry what was stated', () => {
    expect(factsOfCase(longBrownEye(), 9)).toMatchObject({
      axialLengthMm: 29.6,
      meanKeratometryD: 42.65,
      keratometricAstigmatismD: expect.closeTo(1.1, 6),
      nucleusBand: 'very-hard',
      fundusView: 'none',
      surgeonGrade: 'registrar',
      recommendedPowerD: 9,
      staphyloma: null,
    })
  })

  it('derive a difference only when both of its sides are known', () => {
    const fellow = { axialLengthMm: said(27.1), refractionD: said(-1.5) }
    expect(factsOfCase(longBrownEye({ fellow }), undefined)).toMatchObject({
      axialLengthDifferenceMm: expect.closeTo(2.5, 6),
      plannedAnisometropiaD: expect.closeTo(0.25, 6),
      keratometryDifferenceD: null,
    })
    expect(factsOfCase(longBrownEye({ fellow, targetRefractionD: undefined }), undefined).plannedAnisometropiaD).toBeNull()
  })

  it('meet a threshold that was stated to the decimal, although subtraction leaves dust', () => {
    const fellow = { refractionD: said(-4.35), axialLengthMm: said(28.9) }
    const facts = factsOfCase(longBrownEye({ fellow, targetRefractionD: said(-1.35), axialLengthMm: said(29.6) }), undefined)
    expect([Math.abs(-1.35 - -4.35) >= 3, 29.6 - 28.9 > 0.7]).toEqual([false, true])
    expect(facts).toMatchObject({ plannedAnisometropiaD: 3, axialLengthDifferenceMm: 0.7 })
  })

  it.each([
    ['none', false],
    ['without-retinopathy', false],
    ['retinopathy', true],
    ['diabetes', null],
  ] as const)('from "%s" take retinopathy as %s: of a diabetic of whom no more was said it is not known', (value, expected) => {
    expect(factsOfCase(longBrownEye({ diabetes: said(value) }), undefined).diabeticRetinopathy).toBe(expected)
  })

  it('know the infusion pressure of a bottle that hangs by gravity, and of no other', () => {
    const bottle = { bottleHeightCm: said(70) }
    const pressureOf = (parts: Parameters<typeof longBrownEye>[0]) =>
      factsOfCase(longBrownEye({ ...bottle, ...parts }), undefined).infusionPressureMmHg
    // 70 cm of water are 51.5 mmHg (NIST SP 811: 98.0665 against 133.3224 Pa).
    expect(pressureOf({ activeInfusion: said(false) })).toBe(51)
    expect(pressureOf({ activeInfusion: said(true) })).toBeNull()
    expect(pressureOf({})).toBeNull()
    expect(pressureOf({ activeInfusion: said(false), infusionPressureMmHg: said(60) })).toBe(60)
  })

  it('keep zero and false as the values they are', () => {
    const facts = factsOfCase(longBrownEye({ intravitrealInjections: said(0), glaucoma: said(false) }), 0)
    expect(facts).toMatchObject({ intravitrealInjections: 0, glaucoma: false, recommendedPowerD: 0 })
  })
})

describe('what the risk models are told', () => {
  it('a partial view decides nothing, no view counts, a clear view counts against', () => {
    expect(riskInputOf(longBrownEye()).noFundalView).toBe(true)
    expect(riskInputOf(longBrownEye({ fundusView: said('clear' as const) })).noFundalView).toBe(false)
    expect(riskInputOf(longBrownEye({ fundusView: said('partial' as const) })).noFundalView).toBeUndefined()
    expect(riskInputOf(longBrownEye({ fundusView: undefined })).noFundalView).toBeUndefined()
  })

  it('weak zonules leave phacodonesis open', () => {
    expect(riskInputOf(longBrownEye({ zonules: said('weak' as const) })).phacodonesis).toBeUndefined()
    expect(riskInputOf(longBrownEye({ zonules: said('normal' as const) })).phacodonesis).toBe(false)
    expect(riskInputOf(longBrownEye({ zonules: said('phacodonesis' as const) })).phacodonesis).toBe(true)
  })

  it('a lens is dense by its band or white by its name, and unknown when neither was said', () => {
    const soft = said({ scale: 'locs-iii-no' as const, grade: 2, band: 'mild' as const })
    expect(riskInputOf(longBrownEye()).denseOrWhite).toBe(true)
    expect(riskInputOf(longBrownEye({ nucleus: soft })).denseOrWhite).toBe(false)
    expect(riskInputOf(longBrownEye({ nucleus: undefined })).denseOrWhite).toBeUndefined()
    expect(riskInputOf(longBrownEye({ nucleus: undefined, whiteCataract: said(true) })).denseOrWhite).toBe(true)
  })
})
