import { describe, expect, it } from 'vitest'
import { MESSY } from './messy-messages.js'
import { caseFrom, valuesFrom } from './reading-of.js'

const keptIn = (text: string): readonly string[] => (caseFrom(text).case.notUnderstood ?? []).map((kept) => kept.text)

describe('a message typed late in the day', () => {
  it('is one of many', () => expect(MESSY.length).toBeGreaterThanOrEqual(30))

  it.each(MESSY)('keeps every number of %j, or says why not', (text) => {
    const { items, problems, case: read } = caseFrom(text)
    const held = [...items.map(({ source }) => source), ...problems.map(({ item }) => item), read.question?.source ?? ''].join(
      ' ',
    )
    for (const [number] of text.matchAll(/\d+(?:[.,]\d+)?/g)) expect(held).toContain(number)
    for (const { line, message, instead } of problems) {
      expect(line).toBeGreaterThanOrEqual(1)
      expect(message.length).toBeGreaterThan(10)
      expect(instead).not.toBe('')
    }
  })

  it('is read up to a question that only its mark parts from the data', () =>
    expect(valuesFrom('hi all! LE 71F brown AL 31.2 K 44.1/45.0 ?chop ?msics')).toEqual({
      eye: 'left',
      ageYears: 71,
      sex: 'female',
      nucleus: { scale: 'colour', grade: 'brown', band: 'very-hard' },
      axialLengthMm: 31.2,
      keratometry: { meanD: 44.55, flatD: 44.1, steepD: 45, indexGiven: 1.3375 },
      question: 'chop ?msics',
    }))

  it('says so where data were taken for a question', () => {
    const { problems, case: read } = caseFrom('LE AL 28.1 target 0 / -0.5 ?')
    expect(read.axialLengthMm).toBeUndefined()
    expect(problems).toMatchObject([{ kind: 'not-understood', message: expect.stringContaining('nothing in it was read') }])
  })

  it('asks which eye a measurement belongs to where a list of the fellow eye goes on', () => {
    const { problems, case: read } = caseFrom('LE AL 29.6, other eye AL 24.1, K 43.5/44.5, brown')
    expect([read.keratometry, read.fellow?.meanKeratometryD]).toEqual([undefined, undefined])
    expect(problems).toMatchObject([{ kind: 'ambiguous', field: 'keratometry', blocks: true }])
    expect(problems[0]?.message).toContain('which eye')
  })

  it('keeps words about the fellow eye as words about the fellow eye', () =>
    expect(keptIn('RE AL 22.0 (other eye enucleated), K1 46 K2 47')).toEqual(['fellow eye: enucleated']))

  it('gives each letter its eye, and a bracket ends what was said in it', () => {
    expect(valuesFrom('AL R 29.1 L 29.8 K R 43/44 L 43.5/44.2 do left')).toMatchObject({
      eye: 'left',
      axialLengthMm: 29.8,
      keratometry: { flatD: 43.5 },
      fellow: { axialLengthMm: 29.1, meanKeratometryD: 43.5 },
    })
    expect(valuesFrom('RE (other eye enucleated) AL 22.0')).toMatchObject({ eye: 'right', axialLengthMm: 22 })
  })

  it('does not take the fellow eye for the grade of the surgeon', () =>
    expect(caseFrom('LE -16.5, fellow -15.0, AL 30.1, fellow 29.8').case.surgeonGrade).toBeUndefined())

  it('gives a refraction to no eye where it stands after a lens status without one', () => {
    const { problems, case: read } = caseFrom('AL 25, has IOL -2')
    expect(read.refraction).toBeUndefined()
    expect(problems.map(({ field }) => field)).toContain('refraction')
  })

  it('without names for its numbers has them kept and none used', () => {
    const { case: read } = caseFrom('LE 29.84 43.27 44.41 3.41')
    expect(Object.keys(read).sort()).toEqual(['eye', 'notUnderstood'])
  })

  it('run together has its impossible powers refused', () => {
    const { problems, case: read } = caseFrom('LE AL29.84K143.27K244.41')
    expect(read.keratometry).toBeUndefined()
    expect(problems.map(({ kind, blocks }) => [kind, blocks])).toEqual([
      ['out-of-range', true],
      ['out-of-range', true],
    ])
  })

  it('with two eyes and no word which is operated is asked back', () =>
    expect(caseFrom('RE AL 30.2\nLE AL 29.9\nboth brown\nwhich first?').case).not.toHaveProperty('eye'))
})
