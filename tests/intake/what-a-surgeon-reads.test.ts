import { describe, expect, it } from 'vitest'
import { caseFrom, valuesFrom } from './reading-of.js'

const problemsOf = (text: string) => caseFrom(text).problems.map(({ field, kind, blocks }) => ({ field, kind, blocks }))
const keptOf = (text: string) => (caseFrom(text).case.notUnderstood ?? []).map(({ text: words }) => words).join(' | ')

/** Each message was once read otherwise than a surgeon reads it, or a fact in it was lost without a word. All invented. */
describe('print that was recognised badly', () => {
  it.each([
    ['LE AL : 28 .74 mm', 'axialLengthMm'],
    ['LE AL 28, 74 mm', 'axialLengthMm'],
    ['LE AL 28. 74 mm', 'axialLengthMm'],
    ['LE AL 29.1 ACD 3, 41 mm', 'anteriorChamberDepthMm'],
  ])('%s is not taken for whole millimetres', (text, field) => {
    expect(valuesFrom(text)).not.toHaveProperty(field)
    expect(problemsOf(text)).toContainEqual({ field, kind: 'not-understood', blocks: true })
  })
  it('whole millimetres before a comma are read where what follows is something else', () => {
    expect(valuesFrom('LE AL 28, 3 mm pupil')).toMatchObject({ pupilDilatedMm: 3 })
    expect(valuesFrom('LE AL 28, K 43/44, pupil 3 mm')).toMatchObject({ axialLengthMm: 28, pupilDilatedMm: 3 })
  })
})

describe('a sheet', () => {
  it.each([
    'K1: 42.61 D / 7.92 mm @ 12° K2: 43.95 D / 7.68 mm @ 102°',
    'K1 42.61 D (7.92 mm) @ 12 K2 43.95 D (7.68 mm) @ 102',
    'K1 42.61/7.92@12 K2 43.95/7.68@102',
  ])('%s: the radius beside a power is no axis', (text) => {
    expect(valuesFrom(`LE ${text}`)['keratometry']).toMatchObject({
      flatD: 42.61,
      flatAxisDeg: 12,
      steepD: 43.95,
      steepAxisDeg: 102,
    })
  })
  it('a slash before what cannot be the radius of that power is read as before', () => {
    expect(valuesFrom('LE K 43.25/44.10')['keratometry']).toMatchObject({ flatD: 43.25, steepD: 44.1 })
  })
  it('with each name printed again for the second eye is read eye by eye', () => {
    const text = [
      'OD                 OS',
      'AL: 29.56 mm (SNR=512)   AL: 26.11 mm (SNR=498)',
      'K1: 42.61 D @ 12°   K1: 43.10 D @ 170°',
      'K2: 43.95 D @ 102°   K2: 44.00 D @ 80°',
      'ACD: 3.51 mm   ACD: 3.40 mm',
      'operate OD',
    ].join('\n')
    expect(valuesFrom(text)).toMatchObject({
      eye: 'right',
      axialLengthMm: 29.56,
      axialLengthSnr: 512,
      anteriorChamberDepthMm: 3.51,
      keratometry: { flatD: 42.61, steepD: 43.95 },
      fellow: { axialLengthMm: 26.11, anteriorChamberDepthMm: 3.4, meanKeratometryD: 43.55 },
    })
  })
  it.each(['AL 30,45 mm +/- 0,03', 'AL 30.45 ± 0.03 mm'])('%s: the spread of the length', (text) => {
    expect(valuesFrom(`LE ${text}`)).toMatchObject({ axialLengthMm: 30.45, axialLengthSdMm: 0.03 })
  })
  it('cells in thousands', () => expect(valuesFrom('LE ECD 2.2k')).toMatchObject({ endothelialCellDensityPerMm2: 2200 }))
  it('W-W is the white to white', () => expect(valuesFrom('LE W-W 12.1')).toMatchObject({ whiteToWhiteMm: 12.1 }))
})

describe('a short eye', () => {
  it('is kept and pointed out', () => {
    expect(valuesFrom('LE AL 17.6 mm')).toMatchObject({ axialLengthMm: 17.6 })
    expect(problemsOf('LE AL 17.6 mm')).toEqual([{ field: 'axialLengthMm', kind: 'out-of-range', blocks: false }])
  })
  it.each(['AC shallow 2.1', 'shallow AC 2.1 mm', 'anterior chamber shallow 2.1'])('%s is a depth', (text) => {
    expect(valuesFrom(`LE ${text}`)).toMatchObject({ anteriorChamberDepthMm: 2.1 })
  })
  it('a shallow chamber without its depth asks for it', () => {
    expect(problemsOf('LE AL 22, shallow AC')).toContainEqual({
      field: 'anteriorChamberDepthMm',
      kind: 'not-understood',
      blocks: false,
    })
  })
})

describe('alpha blockers', () => {
  it.each(['tamsulosin', 'alfuzosin', 'silodosin', 'doxazosin', 'terazosin', 'prazosin'])('%s is one', (drug) => {
    expect(valuesFrom(`LE on ${drug} 4 mg od`)['alphaBlocker']).toBe('current')
    expect(keptOf(`LE on ${drug} 4 mg od`)).toBe('')
  })
  it.each([
    'on silodosin in the past',
    'prev alfuzosin',
    'took tamsulosin until 2020',
    'tamsulosin stopped 2019',
    'stopped tamsulosin 2 yrs ago, never doxazosin',
  ])('%s is past use', (words) => expect(valuesFrom(`LE ${words}`)['alphaBlocker']).toBe('past'))
  it.each(['not on alpha blockers', 'denies tamsulosin', 'no doxazosin', 'not taking tamsulosin', 'tamsulosin: no'])(
    '%s leaves open what was taken once, or what else',
    (words) => {
      expect(valuesFrom(`LE ${words}`)).not.toHaveProperty('alphaBlocker')
      expect(problemsOf(`LE ${words}`)).toContainEqual({ field: 'alphaBlocker', kind: 'not-understood', blocks: false })
      expect(keptOf(`LE ${words}`)).not.toBe('')
    },
  )
  it('one that was stopped and one that is taken are use now', () => {
    expect(valuesFrom('LE stopped tamsulosin, on doxazosin')['alphaBlocker']).toBe('current')
  })
})

describe('what was is not what is', () => {
  it.each(['PPV for RD 2023', 'RD 2019', 'PPV + silicone oil for RD'])('%s is no detachment now', (words) => {
    expect(valuesFrom(`LE AL 31, ${words}`)).not.toHaveProperty('periphery')
    expect(keptOf(`LE AL 31, ${words}`)).toContain('RD')
  })
  it('a detachment that is simply named is one', () => expect(valuesFrom('LE AL 31, RD')['periphery']).toBe('detached'))
  it('a repair in the history is a treated retina', () => expect(valuesFrom('LE hx RD repair')['periphery']).toBe('treated'))
  it.each(['CMO previously', 'PPV for mac hole'])('%s is no finding of today', (words) => {
    expect(valuesFrom(`LE ${words}`)).not.toHaveProperty('macula')
  })
  it('a detachment of the mother is one in the family', () => {
    const values = valuesFrom('LE AL 31, family hx RD, mother')
    expect(values['familyRetinalDetachment']).toBe(true)
    expect(values).not.toHaveProperty('periphery')
  })
})

it.each([
  ['GA refused', 'anaesthesia'],
  ['sub-Tenon declined', 'anaesthesia'],
  ['chop contraindicated', 'technique'],
])('%s is not what is planned', (words, field) => {
  expect(valuesFrom(`LE AL 30, ${words}`)).not.toHaveProperty(field)
  expect(keptOf(`LE AL 30, ${words}`)).toContain(words)
})
it('a toric lens that was declined is not planned', () => expect(valuesFrom('LE toric declined')['toricPlanned']).toBe(false))

describe('who stands by does not operate first', () => {
  it.each(['ST6 operating, cons in theatre', 'registrar, consultant scrubbed', 'registrar operates, attending available'])(
    '%s',
    (words) => expect(valuesFrom(`LE AL 30, ${words}`)['surgeonGrade']).toBe('registrar'),
  )
  it('a consultant alone operates', () => expect(valuesFrom('LE AL 30, consultant')['surgeonGrade']).toBe('consultant'))
})

describe('years that are no age', () => {
  it.each(['diabetic 20 years', 'tamsulosin x5y', 'glaucoma for 25 yrs'])('%s', (words) => {
    expect(valuesFrom(`LE AL 30, ${words}`)).not.toHaveProperty('ageYears')
    expect(problemsOf(`LE AL 30, ${words}`).some(({ blocks }) => blocks)).toBe(false)
  })
  it.each(['A 61 year old man, LE AL 30', 'LE 61 years, AL 30', '61 y M, LE AL 30', 'LE 61 yrs AL 30'])('%s has one', (text) => {
    expect(valuesFrom(text)).toMatchObject({ ageYears: 61, axialLengthMm: 30 })
  })
})

it('months as a fraction are no acuity', () => {
  expect(valuesFrom('LE uveitis quiet 6/12')).not.toHaveProperty('acuity')
  expect(valuesFrom('LE VA 6/12')['acuity']).toBe('6/12')
})

it('two eyes that are both named as the one to operate are asked about', () => {
  const text = 'RE. 60F. AL 28.0 K 43/44. cataract LE brown'
  expect(valuesFrom(text)).not.toHaveProperty('eye')
  expect(problemsOf(text)).toContainEqual({ field: 'eye', kind: 'contradiction', blocks: true })
})

it('a target named with its eye', () => expect(valuesFrom('LE AL 30, target LE -1.5')['targetRefractionD']).toBe(-1.5))

describe('how far round', () => {
  it.each([
    ['zonules deficient 5 clock hours', 5],
    ['5 clock hours of zonular weakness', 5],
    ['zonular dehiscence 3 clock hours', 3],
    ['zonular dialysis 120 degrees', 4],
    ['zonular loss 3 clock hours', 3],
  ])('%s', (words, zonularLossClockHours) => expect(valuesFrom(`LE ${words}`)).toMatchObject({ zonularLossClockHours }))
  it('hours of synechiae are not hours of zonules', () => {
    const values = valuesFrom('LE posterior synechiae 4 clock hours')
    expect(values).toMatchObject({ posteriorSynechiae: true })
    expect(values).not.toHaveProperty('zonularLossClockHours')
    expect(keptOf('LE posterior synechiae 4 clock hours')).toContain('4 clock hours')
  })
})

describe('contact lenses', () => {
  it.each([
    ['wears contact lenses, out since yesterday', 'worn'],
    ['contacts out 2 weeks', 'worn'],
    ['soft contact lenses', 'soft'],
    ['RGP contact lens wearer', 'rigid'],
    ['contact lenses: rigid', 'rigid'],
    ['no contact lenses', 'none'],
  ])('%s', (words, contactLenses) => expect(valuesFrom(`LE AL 30 (optical), ${words}`)).toMatchObject({ contactLenses }))
  it('one planned for the fellow eye is not one worn before the measurement, and no contact measurement', () => {
    const values = valuesFrom('LE AL 30; fellow -12, will wear contact lens in fellow eye meanwhile')
    expect(values).not.toHaveProperty('contactLenses')
    expect(values).not.toHaveProperty('axialLengthMethod')
  })
})

describe('what else changes the eye before the operation', () => {
  it.each([
    ['keratoconus', { keratoconus: true }],
    ['no keratoconus', { keratoconus: false }],
    ['phakic IOL in situ', { phakicLens: true }],
    ['s/p phakic IOL removal', { phakicLens: false }],
    ['iris claw phakic IOL', { phakicLens: true }],
    ['chronic anterior uveitis', { uveitis: true }],
    ['360 posterior synechiae', { posteriorSynechiae: true }],
    ['no synechiae', { posteriorSynechiae: false }],
  ])('%s', (words, facts) => {
    expect(valuesFrom(`LE AL 30, ${words}`)).toMatchObject(facts)
    expect(problemsOf(`LE AL 30, ${words}`).some(({ blocks }) => blocks)).toBe(false)
  })
})

describe('a question mark that stands apart', () => {
  it('opens the question after it, and the data before it is read', () => {
    expect(valuesFrom('LE AL 27.2, target -1, registrar ? hand over')).toMatchObject({
      surgeonGrade: 'registrar',
      question: 'hand over',
    })
    expect(valuesFrom('RE AL 24, consultant, clear view ? who operates')).toMatchObject({
      fundusView: 'clear',
      question: 'who operates',
    })
    expect(valuesFrom('LE AL 29.6, NS 3+ ? chop or manual')).toMatchObject({ question: 'chop or manual' })
  })
  it('still doubts the finding before it, and still ends a sentence that asks', () => {
    expect(valuesFrom('LE AL 30, PXF ? zonules weak')).not.toHaveProperty('pseudoexfoliation')
    expect(valuesFrom('LE AL 30. Would you chop ? Or manual ?')['question']).toBe('Would you chop ?\nOr manual ?')
  })
})

describe('a choice that is still open', () => {
  it.each([
    ['chop or manual', 'technique'],
    ['phaco chop vs MSICS', 'technique'],
    ['topical or sub-Tenon', 'anaesthesia'],
  ])('%s is no plan', (words, field) => {
    expect(valuesFrom(`LE AL 30, ${words}`)).not.toHaveProperty(field)
    expect(keptOf(`LE AL 30, ${words}`)).toContain(words)
  })
  it('one that is made is', () => expect(valuesFrom('LE AL 30, chop, topical')).toMatchObject({ technique: 'chop' }))
})

describe('what the patient wants', () => {
  it.each(['wants to be -1.0', 'would like to be -1', 'wants -1.00', 'wishes to be left at -1.0'])(
    '%s is the target',
    (words) => {
      expect(valuesFrom(`LE AL 30, ${words}`)).toMatchObject({ targetRefractionD: -1 })
    },
  )
  it.each([
    'would like general anaesthesia',
    'wants to be asleep',
    'wishes to be seen soon',
    'would like 2 weeks to think',
    'wants +2.5 readers',
  ])('%s is none', (words) => {
    expect(valuesFrom(`LE AL 30, ${words}`)).not.toHaveProperty('targetRefractionD')
    expect(problemsOf(`LE AL 30, ${words}`).some(({ blocks }) => blocks)).toBe(false)
  })
})

describe('a grade "NO 5" before a comma', () => {
  const notes = (text: string) => caseFrom(text).case.staphyloma?.assumed
  it('is no "no" that might have been carried over', () => {
    expect(notes('LE AL 31, LOCS NO5 NC5, staphyloma')).toBeUndefined()
    expect(notes('LE AL 31, no PXF, staphyloma')).toContain('not carried over')
  })
})

describe('a length with another beside it', () => {
  it.each(['AL 30 maybe 31', 'AL 30 or 31', 'AL 30 possibly 31.2 mm'])('%s is none that a lens may stand on', (words) => {
    expect(valuesFrom(`LE ${words}, K1 43 K2 44.5`)).not.toHaveProperty('axialLengthMm')
    expect(problemsOf(`LE ${words}, K1 43 K2 44.5`)).toContainEqual({ field: 'axialLengthMm', kind: 'ambiguous', blocks: true })
  })
})

it('"surg: SpR" says who operates', () => expect(valuesFrom('LE AL 30, surg: SpR')).toMatchObject({ surgeonGrade: 'registrar' }))
