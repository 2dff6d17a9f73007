import { describe, expect, it } from 'vitest'
import { capsuleRuptureAxialLengthStatement } from '../../src/risk/capsule-rupture-axial-length.js'
import { capsuleRuptureEuropeStatement } from '../../src/risk/capsule-rupture-europe-2022.js'
import { capsuleRuptureLearningStatement } from '../../src/risk/capsule-rupture-learning-2021.js'
import { capsuleRuptureModel2024Statement } from '../../src/risk/capsule-rupture-model-2024.js'
import { capsuleRuptureRatesStatement } from '../../src/risk/capsule-rupture-rates.js'
import { conversionStatement } from '../../src/risk/conversion.js'
import { diaphragmRetropulsionStatement } from '../../src/risk/diaphragm-retropulsion.js'
import { lateDislocationStatement } from '../../src/risk/late-dislocation.js'
import { needleBlockStatement } from '../../src/risk/needle-block.js'
import { steroidResponseStatement } from '../../src/risk/steroid-response.js'
import { suprachoroidalHaemorrhageStatement } from '../../src/risk/suprachoroidal-haemorrhage.js'
import { woundBurnStatement } from '../../src/risk/wound-burn.js'

describe('capsule rupture, beside the odds model', () => {
  it('the 2016–22 model names its factors and never gives a probability', () => {
    const statement = capsuleRuptureModel2024Statement({ denseOrWhite: true, surgeonGrade: 'trainee', axialLengthMm: 29 })
    expect(statement.value).toBeUndefined()
    expect(statement.words).toContain('trainee surgeon odds × 3.75')
    expect(statement.words).toContain('high myopia (raises it, size not seen)')
  })

  it('the effect of length is words, from none to 1.5 times', () => {
    const { band, value } = capsuleRuptureAxialLengthStatement({ axialLengthMm: 29 })
    expect(value).toBeUndefined()
    expect(band?.words).toContain('1.5 times')
    expect(capsuleRuptureAxialLengthStatement({}).words).toContain('not stated')
  })

  it('observed rates add the group of harder eyes only when the eye is known to belong to it', () => {
    expect(capsuleRuptureRatesStatement({ axialLengthMm: 29 }).words).toContain('high myopia 4 in 100')
    expect(capsuleRuptureRatesStatement({}).words).not.toContain('high myopia')
    expect(capsuleRuptureRatesStatement({ whiteCataract: true }).words).toContain('95 of 1,302')
  })

  it('experience between the printed steps is a band, not an invented number', () => {
    expect(capsuleRuptureLearningStatement({ surgeonCases: 60 }).value).toBe(0.031)
    expect(capsuleRuptureLearningStatement({ surgeonCases: 200 }).value).toBeUndefined()
    expect(capsuleRuptureLearningStatement({ surgeonCases: 900 }).value).toBe(0.004)
    expect(capsuleRuptureLearningStatement({}).factorsUnstated).toHaveLength(1)
  })

  it('the registry lists unknown factors as unknown', () => {
    const { factorsUsed, factorsUnstated } = capsuleRuptureEuropeStatement({ cornealScar: true, diabetes: 'diabetes' })
    expect(factorsUsed.map(({ factor }) => factor)).toEqual(['corneal opacities'])
    expect(factorsUnstated.map(({ factor }) => factor)).toEqual(['diabetic retinopathy'])
  })
})

describe('lens–iris diaphragm retropulsion', () => {
  it('names what raises it in this eye and gives no probability of its own', () => {
    const statement = diaphragmRetropulsionStatement({ axialLengthMm: 29.6, previousVitrectomy: true, incisionMm: 2.2 })
    expect(statement.value).toBeUndefined()
    expect(statement.words).toContain('raised by: long eye, previous vitrectomy; 42 in 100 of vitrectomised eyes')
    expect(statement.factorsUnstated.map(({ factor }) => factor)).toEqual(['deep chamber (over 3.5 mm)'])
  })
})

describe('a sharp-needle block', () => {
  it.each([
    [{ axialLengthMm: 29.6, staphyloma: 'present' }, 1 / 760, 1 / 140],
    [{ axialLengthMm: 29.6 }, 1 / 760, 1 / 140],
    [{ axialLengthMm: 29.6, staphyloma: 'absent' }, 0, 1 / 140],
    [{ axialLengthMm: 23, staphyloma: 'absent' }, 0, 1 / 1000],
    [{ axialLengthMm: 23 }, 0, 1 / 760],
    [{ axialLengthMm: 23, staphyloma: 'present' }, 1 / 760, 1 / 760],
    [{ staphyloma: 'present' }, 1 / 760, 1 / 760],
  ] as const)('%o', (input, low, high) => {
    const { band } = needleBlockStatement(input)
    expect([band?.low, band?.high]).toEqual([low, high])
  })

  it('an unknown length gives no figure, and an unknown staphyloma is said', () => {
    expect(needleBlockStatement({}).band).toBeUndefined()
    expect(needleBlockStatement({ axialLengthMm: 29.6 }).words).toContain('staphyloma not stated')
  })
})

describe('pressure rise on steroid drops', () => {
  it.each([
    [{ ageYears: 58, axialLengthMm: 29.6 }, '× 39'],
    [{ ageYears: 65, axialLengthMm: 29.6 }, 'not in the group'],
    [{ ageYears: 64.9, axialLengthMm: 29 }, '× 39'],
    [{ ageYears: 58, axialLengthMm: 28.9 }, 'not in the group'],
    [{ ageYears: 58 }, 'cannot tell'],
    [{ axialLengthMm: 29.6 }, 'cannot tell'],
    [{ ageYears: 70 }, 'not in the group'],
    [{ steroidResponder: true }, 'known responder'],
  ])('%o: %s', (input, words) => {
    expect(steroidResponseStatement(input).words).toContain(words)
  })
})

describe('suprachoroidal haemorrhage', () => {
  it('attaches no number to a long eye', () => {
    const { words, band } = suprachoroidalHaemorrhageStatement({ axialLengthMm: 29.6 })
    expect(words).toContain('a long eye is a textbook risk without a number')
    expect(band?.high).toBe(0.0004)
  })

  it('lists the odds of stated factors and asks for the others', () => {
    const { factorsUsed, factorsUnstated } = suprachoroidalHaemorrhageStatement({ intraocularPressureMmHg: 22, glaucoma: false })
    expect(factorsUsed.map(({ effect }) => effect)).toEqual(['odds × 3.7'])
    expect(factorsUnstated.map(({ factor }) => factor)).toEqual([
      'age 90 or more',
      'intracameral added to topical anaesthesia',
      'axial length',
    ])
  })
})

describe('wound burn, conversion, late dislocation', () => {
  it('a manual extraction has no wound burn band', () => {
    expect(woundBurnStatement({ technique: 'manual-small-incision' }).band).toBeUndefined()
    expect(woundBurnStatement({ technique: 'stop-and-chop', nucleusBand: 'black' }).words).toContain('at least twice')
  })

  it('the trials in hard nuclei are shown for hard nuclei, and asked about when the density is unknown', () => {
    expect(conversionStatement({ nucleusBand: 'very-hard' }).words).toContain('decide before the capsule is opened')
    expect(conversionStatement({ nucleusBand: 'medium' }).words).toContain('do not concern this one')
    expect(conversionStatement({}).factorsUnstated).toHaveLength(1)
  })

  it('late dislocation spans both cohorts at ten and twenty years', () => {
    const { words, band } = lateDislocationStatement({ axialLengthMm: 29.6 })
    expect(band?.low).toBeCloseTo(0.007, 6)
    expect(band?.high).toBeCloseTo(0.01, 6)
    expect(words).toContain('risk factors here: long eye')
  })
})
