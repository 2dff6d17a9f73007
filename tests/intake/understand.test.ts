import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { EXAMPLE_MESSAGES, LONGEST_MESSAGE } from '../../src/intake/guidance.js'
import { understand } from '../../src/intake/understand.js'
import { caseFrom, LENSES, reading, TODAY, valuesFrom } from './reading-of.js'

const LONG_BROWN_EYE = `LE 58M, AL 29.60 optical SD 0.02, K1 42.10@95 K2 43.20@5, ACD 3.45, LT 4.90, WTW 12.1, CCT 548; brown NO 5.2; ECD 2180;
no fundal view, B-scan flat; fellow eye pseudophakic -1.50; target -1.75; A 118.9; registrar; ? chop or manual`

describe('the long brown eye', () => {
  it('is read completely, without a problem', () => {
    expect(valuesFrom(LONG_BROWN_EYE)).toEqual({
      eye: 'left',
      ageYears: 58,
      sex: 'male',
      axialLengthMm: 29.6,
      axialLengthMethod: 'optical',
      axialLengthSdMm: 0.02,
      keratometry: { meanD: 42.65, flatD: 42.1, steepD: 43.2, flatAxisDeg: 95, steepAxisDeg: 5, indexGiven: 1.3375 },
      anteriorChamberDepthMm: 3.45,
      lensThicknessMm: 4.9,
      whiteToWhiteMm: 12.1,
      centralCornealThicknessUm: 548,
      nucleus: { scale: 'locs-iii-no', grade: 5.2, band: 'very-hard' },
      endothelialCellDensityPerMm2: 2180,
      fundusView: 'none',
      bScan: 'flat',
      fellow: { lensStatus: 'pseudophakic', refractionD: -1.5 },
      targetRefractionD: -1.75,
      lensConstants: { aConstant: 118.9 },
      surgeonGrade: 'registrar',
      question: 'chop or manual',
    })
    expect(caseFrom(LONG_BROWN_EYE).problems).toEqual([])
  })

  it('shows every value with the words and the line it came from', () => {
    const { items, case: read } = caseFrom(LONG_BROWN_EYE)
    expect(items).toContainEqual({
      field: 'endothelialCellDensityPerMm2',
      label: 'endothelial cell density',
      shown: '2180 cells/mm²',
      source: 'ECD 2180',
      line: 1,
      assumed: 'cells/mm² assumed',
    })
    expect(read.targetRefractionD).toEqual({ value: -1.75, source: 'target -1.75', line: 2 })
    expect(read.nucleus?.assumed).toContain('brown')
  })

  it('is read in plain sentences too', () => {
    const prose = `Left eye, man of 58, AL 29.60 mm optical through a brown nucleus (LOCS III NO 5.2), K1 42.10@95 K2 43.20@5, ACD 3.45, LT 4.90,
no fundal view, B-scan: retina flat, no staphyloma; ECD 2,180; fellow eye pseudophakic, -1.50; target -1.75; a registrar operates.
"Chop, or plan a manual extraction from the start?"`
    expect(valuesFrom(prose)).toMatchObject({
      eye: 'left',
      endothelialCellDensityPerMm2: 2180,
      staphyloma: 'absent',
      fellow: { refractionD: -1.5 },
      question: 'Chop, or plan a manual extraction from the start?',
    })
    expect(caseFrom(prose).problems).toEqual([])
  })
})

describe('which eye', () => {
  it.each([
    ['RE AL 24', 'right'],
    ['OS 58M', 'left'],
    ['left eye, AL 24', 'left'],
    ['eye: R\nAL 24', 'right'],
    ['operate L, AL 24', 'left'],
    ['70F right phaco AL 24', 'right'],
    ['re 58m al 24', 'right'],
    ['LE 58M, VA RE 6/9 LE HM', 'left'],
    ['RE phaco. R: AL 29.1. L: AL 24.0, pseudophakic -0.50', 'right'],
    ['RE AL 29\nLE AL 24 pseudophakic -0.50', 'right'],
    ['operated eye: left, fellow eye: right', 'left'],
    ['IOP RE 14 LE 15; LE 70M AL 26', 'left'],
  ])('%s', (text, eye) => expect(caseFrom(text).case.eye?.value).toBe(eye))

  it('is asked for where both are named', () => {
    const { case: read, problems } = caseFrom('RE 58M AL 29\nLE phaco AL 28')
    expect(read.eye).toBeUndefined()
    expect(problems.find(({ blocks }) => blocks)).toMatchObject({
      kind: 'contradiction',
      field: 'eye',
      message: expect.stringContaining('line 1'),
    })
  })

  it('keeps what is said of the other eye away from this one', () => {
    expect(valuesFrom('LE 58M, AL 29.6, RE pseudophakic -1.50, ECD 2180, brown')).toMatchObject({
      eye: 'left',
      endothelialCellDensityPerMm2: 2180,
      fellow: { lensStatus: 'pseudophakic', refractionD: -1.5 },
    })
    expect(valuesFrom('LE AL 29\nFellow eye:\nAL 24.1\nK 43.50\n\nACD 3.3')).toMatchObject({
      axialLengthMm: 29,
      anteriorChamberDepthMm: 3.3,
      fellow: { axialLengthMm: 24.1, meanKeratometryD: 43.5 },
    })
  })
})

describe('guidance', () => {
  it.each([
    ['', 'empty'],
    ['  \n\t ', 'empty'],
    ['\u200b\u200b', 'empty'],
    ['help', 'help'],
    ['HELP?', 'help'],
    ['?', 'help'],
    ['lorem ipsum dolor', 'nothing-read'],
  ])('answers %j', (text, reason) => expect(reading(text)).toMatchObject({ kind: 'guidance', reason }))

  it('is not led astray by a name without end', () => expect(reading('nuclear '.repeat(2400)).kind).toBe('guidance'))

  it('says of a message that is too long that nothing was read', () => {
    expect(reading('x '.repeat(LONGEST_MESSAGE))).toMatchObject({ kind: 'guidance', reason: 'too-long' })
    expect(reading(`${'x '.repeat(LONGEST_MESSAGE)}\nMRN 4455667`)).toMatchObject({ kind: 'identifiers' })
  })

  it('says of a picture that it cannot be read, unless words came with it', () => {
    const context = { today: TODAY, lensLabels: LENSES, hasPicture: true }
    expect(understand('', context)).toMatchObject({ kind: 'guidance', reason: 'picture' })
    expect(understand('look at this', context)).toMatchObject({ kind: 'guidance', reason: 'picture' })
    expect(understand('LE AL 29.6', context).kind).toBe('case')
  })

  it.each(EXAMPLE_MESSAGES.map((text) => [text]))('gives examples that are read without a problem: %j', (text) =>
    expect(caseFrom(text).problems).toEqual([]),
  )
})

describe('the question', () => {
  it.each([
    ['LE AL 29.6; ? chop or manual', 'chop or manual'],
    ['LE AL 29.6\nQ: lens of +9, or AL 30 again?', 'lens of +9, or AL 30 again?'],
    ['LE AL 29.6, brown, chop or manual?', 'chop or manual?'],
    ['LE AL 29.6. Should I chop, or do MSICS?', 'Should I chop, or do MSICS?'],
    ['LE AL 29.6\nShould I repeat AL 29.6 by immersion first?', 'Should I repeat AL 29.6 by immersion first?'],
    ['? chop\nLE AL 29.6\nquestion: ring or not', 'chop\nring or not'],
  ])('of %j', (text, question) => {
    const { case: read } = caseFrom(text)
    expect(read.question?.value).toBe(question)
    expect(read.axialLengthMm?.value).toBe(29.6)
  })

  it('is not what a mark on a missing fact makes', () => {
    const { case: read } = caseFrom('LE, ECD ?, zonules ?, staphyloma?, AL 29')
    expect(Object.keys(read).sort()).toEqual(['axialLengthMm', 'eye'])
  })

  it('says so where a value stands in it', () => {
    const { problems, case: read } = caseFrom('LE\nAL 29.6?')
    expect(read.axialLengthMm).toBeUndefined()
    expect(problems).toMatchObject([{ line: 2, kind: 'not-understood', field: 'axialLengthMm' }])
  })

  it('too long to keep is refused, not cut', () => {
    const { problems, case: read } = caseFrom(`LE AL 29\n? ${'why so '.repeat(400)}`)
    expect(read.question).toBeUndefined()
    expect(problems).toMatchObject([{ kind: 'too-long', blocks: true }])
  })
})

describe('problems', () => {
  const problemsOf = (text: string) => caseFrom(text).problems
  it.each([
    ['AL 235', 'out-of-range', 'Did you mean 23.5 mm?'],
    ['AL 2960', 'out-of-range', 'Did you mean 29.6 mm?'],
    ['AL -29.6', 'sign', 'has none'],
    ['AL 29.6 D', 'unit', 'not in D'],
    ['K1 4325 K2 44', 'out-of-range', 'Did you mean 43.25 D?'],
    ['K1 43.25@190 K2 44@100', 'out-of-range', '0 to 180'],
    ['K 43.25/45', 'ambiguous', 'axis or the other power'],
    ['target 1.75', 'sign', 'sign decides'],
    ['target - 1.75', 'sign', 'no sign'],
    ['target -1 to -2', 'ambiguous', 'two targets'],
    ['target -20', 'out-of-range', '-12 to +6'],
    ['fellow eye refraction 1.50', 'sign', 'no sign'],
    ['AL 23.4, AL 23.9', 'contradiction', '"AL 23.4" (line 1) and "AL 23.9" (line 1)'],
    ['K1 43 K2 44 K1 45', 'contradiction', 'given twice'],
    ['PXF, no PXF', 'contradiction', 'contradict'],
    ['registrar, consultant', 'contradiction', 'contradict'],
    ['age 12', 'out-of-range', '18 to 110'],
    ['NO 7.5', 'out-of-range', '0.1 to 6.9'],
    ['ECD 21800', 'out-of-range', 'Did you mean 2180'],
    ['AQD 2.9 CCT 548 ACD 3.9', 'contradiction', '0.1 mm'],
    ['AL 29.60 / 28.96', 'ambiguous', 'two values'],
    ['AL 29.60 28.96', 'ambiguous', 'two values'],
    ['IOP 14-16', 'ambiguous', 'two values'],
  ])('%s blocks', (text, kind, words) => {
    const problem = problemsOf(text).find(({ blocks }) => blocks)
    expect(problem).toMatchObject({ kind, line: 1 })
    expect(problem?.message).toContain(words)
    expect(problem?.instead).not.toBe('')
  })

  it.each([
    ['AL 34.1', 'out-of-range'],
    ['K1 43.27', 'not-understood'],
    ['nucleus grade 4', 'ambiguous'],
    ['dense cataract', 'ambiguous'],
    ['?PXF', 'ambiguous'],
    ['PXF -', 'ambiguous'],
    ['no lattice', 'not-understood'],
    ['no DR', 'ambiguous'],
    ['AQD 2.90', 'not-understood'],
    ['pseudophakic -1.50', 'ambiguous'],
    ['ACD 3.41 (SD 0.02)', 'not-understood'],
    ['lens: Other 9', 'not-understood'],
    ['surgery 2026-01-03', 'out-of-range'],
    ['AL', 'not-understood'],
    ['K1 43@95 K2 44@90', 'contradiction'],
  ])('%s is pointed out and does not block', (text, kind) => {
    const problems = problemsOf(`LE. ${text}`)
    expect(problems.map((problem) => problem.kind)).toContain(kind)
    expect(problems.filter(({ blocks }) => blocks)).toEqual([])
  })

  it('never hide one another, and each names its line', () => {
    const problems = problemsOf('AL 235\nK 43.25/45\ntarget 1.75\nflurble\nage 12')
    expect(problems.map(({ line, kind }) => [line, kind])).toEqual([
      [1, 'out-of-range'],
      [2, 'ambiguous'],
      [3, 'sign'],
      [4, 'not-understood'],
      [5, 'out-of-range'],
    ])
  })

  it('leave the words in the case', () => {
    const { case: read } = caseFrom('LE AL 235, flurble wurble\ntarget 1.75')
    expect(read.notUnderstood).toEqual([
      { text: 'AL 235', line: 1 },
      { text: 'flurble wurble', line: 1 },
      { text: 'target 1.75', line: 2 },
    ])
  })
})

describe('invented messages', () => {
  const folder = new URL('../../examples/', import.meta.url)
  const message = (name: string): string => readFileSync(new URL(name, folder), 'utf8')
  it.each([
    'ordinary-eye.txt',
    'long-brown-eye.txt',
    'thirty-four-millimetres.txt',
    'comma-decimals.txt',
    'one-item-a-line.txt',
    'radii-and-index.txt',
    'white-cataract.txt',
  ])('%s has no problem that blocks', (name) =>
    expect(caseFrom(message(name)).problems.filter(({ blocks }) => blocks)).toEqual([]),
  )
  it('two-columns.txt puts each column where it belongs', () =>
    expect(valuesFrom(message('two-columns.txt'))).toMatchObject({
      eye: 'left',
      axialLengthMm: 30.12,
      fellow: { axialLengthMm: 29.45 },
    }))
  it('no-eye-named.txt has no eye, and no-corneal-power.txt no corneal power', () => {
    expect(caseFrom(message('no-eye-named.txt')).case.eye).toBeUndefined()
    expect(caseFrom(message('no-corneal-power.txt')).case.keratometry).toBeUndefined()
  })
  it('full-of-slips.txt has every slip named', () =>
    expect(
      caseFrom(message('full-of-slips.txt'))
        .problems.filter(({ blocks }) => blocks)
        .map(({ kind }) => kind)
        .sort(),
    ).toEqual(['contradiction', 'out-of-range', 'sign', 'unit']))
  it('with-identifiers.txt is refused', () => {
    const understood = reading(message('with-identifiers.txt'))
    expect(understood).toMatchObject({ kind: 'identifiers' })
    expect(Object.keys(understood).sort()).toEqual(['found', 'kind'])
  })
})
