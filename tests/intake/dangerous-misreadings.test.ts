import { describe, expect, it } from 'vitest'
import { caseFrom, valuesFrom } from './reading-of.js'

const problemsOf = (text: string) => caseFrom(text).problems.map(({ field, kind, blocks }) => ({ field, kind, blocks }))

/** Messages as a tired junior pastes them; each was once read as something that could have harmed. All invented. */
describe('a gas is no lens constant', () => {
  it.each(['LE AL 33.1 PPV + SF6 2018', 'LE AL 33.1, vitrectomy and SF6'])('%s', (text) => {
    expect(valuesFrom(text)).not.toHaveProperty('lensConstants')
  })
  it('a surgeon factor beside it still counts', () => {
    expect(valuesFrom('LE AL 33.1 PPV SF6, SF 1.8')).toMatchObject({ lensConstants: { surgeonFactorMm: 1.8 } })
  })
})

describe('silicone oil is no silicone lens', () => {
  it.each(['silicone oil in situ since Feb', 'silicone oil filled', 'oil in situ', 'silicon oil'])('%s', (words) => {
    const values = valuesFrom(`LE AL 31.2 ${words}`)
    expect(values['siliconeOil']).toBe(true)
    expect(values).not.toHaveProperty('siliconeOpticPlanned')
  })
  it.each(['oil removed 2020', 'no silicone oil', 'silicone oil removed'])('%s', (words) => {
    expect(valuesFrom(`LE AL 31.2, ${words}`)['siliconeOil']).toBe(false)
  })
  it('a silicone lens is still read', () => {
    expect(valuesFrom('LE AL 31.2 silicone optic')['siliconeOpticPlanned']).toBe(true)
  })
})

describe('which eye is operated is never taken from an acuity or a length that opens the message', () => {
  it.each(['RE 6/9 LE 6/36. AL 31', 'R 6/9 L 6/36 LE AL 31', 'RE 29.85 LE 30.40 axial lengths'])('%s', (text) => {
    expect(valuesFrom(text)).not.toHaveProperty('eye')
    expect(problemsOf(text)).toContainEqual({ field: 'eye', kind: 'contradiction', blocks: true })
  })
  it('an age still opens it', () => expect(valuesFrom('RE 64 M, AL 31')).toMatchObject({ eye: 'right', ageYears: 64 }))
  it('a lone letter before an acuity names its eye', () => {
    const values = valuesFrom('operate LE. AL 31. R 6/9')
    expect(values).toMatchObject({ eye: 'left', fellow: { acuity: '6/9' } })
    expect(values).not.toHaveProperty('acuity')
  })
})

describe('what is said of an eye that is gone belongs to the other', () => {
  it.each([
    'only eye (L lost to RD 2011). R: AL 32.6',
    'R: AL 32.6. L enucleated after RD',
    'RE AL 32.6, left lost in 2011 to RD',
  ])('%s', (text) => {
    const values = valuesFrom(text)
    expect(values).toMatchObject({ eye: 'right', axialLengthMm: 32.6 })
    expect(values['periphery']).not.toBe('detached')
  })
  it('an eye that lost vision may be the one to operate', () => {
    expect(valuesFrom('LE lost vision over 2 years, AL 30.1')).toMatchObject({ eye: 'left', axialLengthMm: 30.1 })
  })
})

it('a detachment that was repaired is not a detachment', () => {
  expect(valuesFrom('LE AL 31, RD repair 2019')['periphery']).toBe('treated')
  expect(valuesFrom('LE AL 31, RD')['periphery']).toBe('detached')
})

it('a multifocal lens in the fellow eye is not planned for this one', () => {
  expect(valuesFrom('RE AL 28.9, fellow pseudophakic plano with multifocal')).not.toHaveProperty('multifocalPlanned')
  expect(valuesFrom('RE AL 28.9, fellow pseudophakic plano, multifocal')['multifocalPlanned']).toBe(true)
})

describe('a second reading of the length', () => {
  it.each(['LE AL 28.50 mm (29.10 mm on repeat)', 'LE AL 28.5, repeat 29.1'])('%s: neither is used', (text) => {
    expect(valuesFrom(text)).not.toHaveProperty('axialLengthMm')
    expect(problemsOf(text)).toContainEqual({ field: 'axialLengthMm', kind: 'contradiction', blocks: true })
  })
  it('that agrees is noted', () => {
    const { axialLengthMm } = caseFrom('LE AL 28.50 (28.52 on repeat)').case
    expect(axialLengthMm).toMatchObject({ value: 28.5 })
    expect(JSON.stringify(axialLengthMm)).toContain('28.52')
  })
})

it('two lengths by two methods contradict, and the method of the one is not given to the other', () => {
  const text = 'RE AL 31.05 (optical), 31.4 (A-scan)'
  expect(valuesFrom(text)).not.toHaveProperty('axialLengthMm')
  expect(problemsOf(text)).toContainEqual({ field: 'axialLengthMm', kind: 'contradiction', blocks: true })
})

describe('a number after a cross', () => {
  it.each(['LE K 42.5 x 45.9', 'LE K 43 x 45'])('%s may be the other power and is asked back', (text) => {
    expect(valuesFrom(text)).not.toHaveProperty('keratometry')
    expect(problemsOf(text)).toContainEqual({ field: 'keratometry', kind: 'ambiguous', blocks: true })
  })
  it.each(['LE K 43.25 x 45', 'LE K 42.5 x 180 / 44.0 x 90', 'LE K1 42.5 x 12 K2 44 x102'])('%s is an axis', (text) => {
    expect(valuesFrom(text)).toHaveProperty('keratometry')
  })
})

it('"Fellow: OD" is the fellow eye, not who operates', () => {
  expect(valuesFrom('LE AL 30.6. Fellow: OD lost to trauma')).not.toHaveProperty('surgeonGrade')
  expect(valuesFrom('LE AL 30.6, fellow to operate')).toMatchObject({ surgeonGrade: 'fellow' })
})

describe('an eye that has its lens', () => {
  it.each(['LE AL 30.8 decentered IOL', 'LE AL 30.8, PCO', 'LE AL 30.8 for IOL exchange'])('%s is turned away', (text) => {
    expect(problemsOf(text)).toContainEqual({ field: 'lensStatus', kind: 'ambiguous', blocks: true })
  })
  it.each(['RE AL 30. Fellow eye PCO', 'RE AL 30, fellow pseudophakic, PCO'])('%s is not', (text) => {
    expect(problemsOf(text).some(({ blocks }) => blocks)).toBe(false)
  })
})

describe('a target in words and a number', () => {
  it.each([
    ['aim low myopia -1.5', -1.5],
    ['target mild myopia 1.5', -1.5],
    ['aim slightly hyperopic +0.5', 0.5],
  ])('%s', (words, targetRefractionD) => expect(valuesFrom(`LE AL 31, ${words}`)).toMatchObject({ targetRefractionD }))
  it.each(['aim slight myopia', 'target near', 'target low minus'])('%s: nothing is worked out for another target', (words) => {
    const text = `LE AL 31, ${words}`
    expect(valuesFrom(text)).not.toHaveProperty('targetRefractionD')
    expect(problemsOf(text)).toContainEqual({ field: 'targetRefractionD', kind: 'not-understood', blocks: true })
  })
  it('an aim that is no refraction holds nothing up', () => {
    expect(problemsOf('LE AL 31, aim to do it by June').some(({ blocks }) => blocks)).toBe(false)
  })
  it.each([
    ['target minus two', -2],
    ['aim minus one and a half', -1.5],
    ['target minus two point seven five', -2.75],
    ['aim minus half', -0.5],
    ['target minus 2', -2],
  ])('%s', (words, targetRefractionD) => expect(valuesFrom(`LE AL 31, ${words}`)).toMatchObject({ targetRefractionD }))
  it('words against the sign are a contradiction', () => {
    expect(problemsOf('LE AL 31, target hyperopia -1')).toContainEqual({
      field: 'targetRefractionD',
      kind: 'contradiction',
      blocks: true,
    })
  })
})

it('a question mark that opens a line does not swallow the values after its sentence', () => {
  const values = valuesFrom('?right. AL 29.9, K 43/44, brown')
  expect(values).toMatchObject({ axialLengthMm: 29.9, question: 'right.' })
  expect(values).not.toHaveProperty('eye')
  expect(valuesFrom('?chop or manual. Consultant is away')['question']).toBe('chop or manual. Consultant is away')
})

it('the method may stand between the name and the length', () => {
  expect(valuesFrom('LE AL by A scan 30.9')).toMatchObject({ axialLengthMm: 30.9, axialLengthMethod: 'ultrasound' })
})
