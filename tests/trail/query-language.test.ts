import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type AskedFor, matchesFacts } from '../../src/trail/asked-for.js'
import type { FeatureRow } from '../../src/trail/features.js'
import { readQuery } from '../../src/trail/query-language.js'

const NOTHING: AskedFor = { ranges: [], steps: [], by: [], outcome: [] }

function asked(text: string): AskedFor {
  const read = readQuery(text)
  if (read.kind === 'faults') throw new Error(JSON.stringify(read.faults))
  return read.query
}
const faults = (text: string) => {
  const read = readQuery(text)
  return read.kind === 'faults' ? read.faults : []
}
const range = (text: string) => asked(text).ranges[0]

describe('plain words', () => {
  it('are looked for as they are', () => {
    expect(asked('long eye staphyloma sub-Tenon')).toEqual({
      ...NOTHING,
      words: { phrases: [['long'], ['eye'], ['staphyloma'], ['sub', 'tenon']] },
    })
  })

  it('in quotes stand side by side', () => {
    expect(asked('brown "trypan blue" AL 29.60').words?.phrases).toEqual([['brown'], ['trypan', 'blue'], ['al'], ['29p6']])
  })

  it('are all that a name of a fact is without a comparison', () => {
    for (const text of [
      'AL 29.6',
      'target -1.75',
      'lens over the top',
      'small pupil',
      'between lens and iris',
      'K',
      'MARSH-7',
      'a:b',
      '10:30',
    ]) {
      expect(asked(text).ranges, text).toEqual([])
      expect(asked(text).words, text).toBeDefined()
    }
  })
})

describe('a range', () => {
  it.each([
    ['AL>30', { fact: 'axialLengthMm', low: 30, lowIncluded: false, highIncluded: false }],
    ['AL >= 30 mm', { fact: 'axialLengthMm', low: 30, lowIncluded: true, highIncluded: true }],
    ['axial length over 30mm', { fact: 'axialLengthMm', low: 30, lowIncluded: false, highIncluded: false }],
    ['AL≥30', { fact: 'axialLengthMm', low: 30, lowIncluded: true, highIncluded: true }],
    ['AL = 29,6', { fact: 'axialLengthMm', low: 29.6, high: 29.6, lowIncluded: true, highIncluded: true }],
    ['AL 28-30', { fact: 'axialLengthMm', low: 28, high: 30, lowIncluded: true, highIncluded: true }],
    ['AL 28 - 30', { fact: 'axialLengthMm', low: 28, high: 30, lowIncluded: true, highIncluded: true }],
    ['AL 28 to 30 mm', { fact: 'axialLengthMm', low: 28, high: 30, lowIncluded: true, highIncluded: true }],
    ['AL between 28 and 30', { fact: 'axialLengthMm', low: 28, high: 30, lowIncluded: true, highIncluded: true }],
    ['AL 30\u201328', { fact: 'axialLengthMm', low: 28, high: 30, lowIncluded: true, highIncluded: true }],
    ['target<-2', { fact: 'targetRefractionD', high: -2, lowIncluded: false, highIncluded: false }],
    ['target \u22123 to \u22121', { fact: 'targetRefractionD', low: -3, high: -1, lowIncluded: true, highIncluded: true }],
    ['target -3--1', { fact: 'targetRefractionD', low: -3, high: -1, lowIncluded: true, highIncluded: true }],
    ['lens power below +5.5 D', { fact: 'recommendedPowerD', high: 5.5, lowIncluded: false, highIncluded: false }],
    ['ECD under 1500', { fact: 'endothelialCellDensityPerMm2', high: 1500, lowIncluded: false, highIncluded: false }],
    ['cell count <1500 cells/mm2', { fact: 'endothelialCellDensityPerMm2', high: 1500, lowIncluded: false, highIncluded: false }],
    ['mean K > 47', { fact: 'meanKeratometryD', low: 47, lowIncluded: false, highIncluded: false }],
    ['age>80', { fact: 'ageYears', low: 80, lowIncluded: false, highIncluded: false }],
  ])('is read from %j', (text, wanted) => {
    expect(range(text)).toEqual(wanted)
    expect(asked(text).words).toBeUndefined()
  })

  it('stands beside words and other ranges', () => {
    expect(asked('brown AL>30, ECD 1000-1500 sub-Tenon')).toMatchObject({
      words: { phrases: [['brown'], ['sub', 'tenon']] },
      ranges: [{ fact: 'axialLengthMm' }, { fact: 'endothelialCellDensityPerMm2' }],
    })
  })

  it.each([
    ['AL>300', '300 mm is no AL that an eye has'],
    ['AL > x', 'A number is missing'],
    ['AL>', 'A number is missing'],
    ['AL > 30 AL < 2', '2 mm is no AL'],
    ['AL>30D', 'AL is kept in mm, not in "D"'],
    ['ECD<2.1', '2.1 cells/mm² is no ECD'],
    ['wisdom > 3', 'Only these can be compared: AL, '],
    ['> 3', 'Only these can be compared'],
    ['AL:30', 'compared, not named with a colon'],
  ])('that cannot be meant is said so: %j', (text, words) => {
    const [fault] = faults(text)
    expect(fault?.message).toContain(words)
    expect(fault?.instead).not.toBe('')
  })

  it('says what to write instead in a form that is understood', () => {
    for (const text of [
      'AL>300',
      'AL>',
      'wisdom > 3',
      'step:wing',
      'eye:middle',
      'by:',
      'from:May',
      'colour:brown',
      'outcome:',
      '',
    ]) {
      for (const { instead } of faults(text)) expect(faults(instead), `${text} -> ${instead}`).toEqual([])
    }
  })
})

describe('a named part', () => {
  it('is a step, a person, an eye, an outcome or a day', () => {
    expect(asked('step:nucleus by:Alder eye:LE outcome:rupture from:2026-01-01 to:2026-03-31')).toEqual({
      ranges: [],
      steps: ['nucleus'],
      by: [['alder']],
      eye: 'left',
      outcome: [['rupture']],
      from: '2026-01-01',
      to: '2026-03-31',
    })
  })

  it('may have its value after a blank or in quotes, and its name in capitals', () => {
    expect(asked('Step: nucleus by: "Dr Alder"')).toMatchObject({ steps: ['nucleus'], by: [['dr', 'alder']] })
    expect(asked('by:"Dr Alder"')).toMatchObject({ by: [['dr', 'alder']] })
  })

  it.each([
    ['from:2026', { from: '2026-01-01' }],
    ['from:2026-02', { from: '2026-02-01' }],
    ['to:2026', { to: '2026-12-31' }],
    ['to:2024-02', { to: '2024-02-29' }],
    ['outcome:missing', { outcome: ['missing'] }],
    ['outcome:recorded', { outcome: ['recorded'] }],
  ])('%s', (text, wanted) => {
    expect(asked(text)).toMatchObject(wanted)
  })

  it.each([
    ['step:wing', 'The steps are assessment, biometry'],
    ['eye:middle', 'left or right'],
    ['by:', 'A name is missing'],
    ['from:2026-02-30', 'no day, month or year'],
    ['to:May', 'no day, month or year'],
    ['from:2026-04 to:2026-03', 'change them over'],
    ['colour:brown', 'There are step:, by:'],
    ['', 'Nothing to look for'],
    ['! ?', 'Nothing to look for'],
  ])('that is not understood is said so: %j', (text, words) => {
    expect(faults(text)[0]?.message).toContain(words)
  })

  it('lists every fault, not only the first', () => {
    expect(faults('AL>300 step:wing brown eye:middle')).toHaveLength(3)
  })
})

describe('whatever is typed', () => {
  it('is read without falling over, and every fault has its three parts', () => {
    const part = fc.oneof(
      fc.string({ unit: 'binary', maxLength: 12 }),
      fc.constantFrom(
        'AL',
        'AL>',
        '>=',
        '<',
        '=',
        '"',
        'step:',
        'by:',
        'constructor',
        '__proto__:',
        'toString > 3',
        'AL 28-',
        '-',
        'to',
        'between',
        '30',
        '\u0000',
        'from:9999-99',
      ),
    )
    fc.assert(
      fc.property(fc.array(part, { maxLength: 12 }), fc.constantFrom(' ', ''), (parts, between) => {
        const read = readQuery(parts.join(between))
        if (read.kind === 'faults') {
          for (const { message, instead } of read.faults) expect(message !== '' && instead !== '').toBe(true)
        } else {
          for (const phrase of read.query.words?.phrases ?? []) expect(phrase.length).toBeGreaterThan(0)
        }
      }),
      { numRuns: 3000 },
    )
  })

  it.each([
    'constructor > 3',
    'AL constructor 3',
    'eye:constructor',
    'AL > 3constructor',
    '__proto__',
    'hasOwnProperty:x',
    'AL toString 3',
    `${'a '.repeat(9000)}`,
  ])('such as %j', (text) => {
    expect(() => readQuery(text)).not.toThrow()
  })
})

describe('a consult', () => {
  const row: FeatureRow = {
    ref: 'MARSH-7',
    askedAt: '2026-03-02T18:00:00.000Z',
    eye: 'left',
    numbers: { axialLengthMm: 30, targetRefractionD: -2.5, ageYears: 60 },
    words: {},
    yesNo: {},
    steps: ['nucleus'],
    people: ['Wren', 'Dr Sorrel Alder'],
    outcome: 'Four to six weeks · complications: posterior capsule rupture',
  }
  const { outcome: _outcome, eye: _eye, ...bare } = row
  const answer = (text: string, of: FeatureRow = row) => matchesFacts(asked(text), of)

  it.each([
    ['AL>=30', 'yes'],
    ['AL>30', 'no'],
    ['AL<30', 'no'],
    ['AL 28-30', 'yes'],
    ['AL=30', 'yes'],
    ['target<-2', 'yes'],
    ['target>-2', 'no'],
    ['ECD<1500', 'unknown'],
    ['ECD<1500 AL>30', 'no'],
    ['ECD<1500 AL>29', 'unknown'],
    ['eye:left step:nucleus', 'yes'],
    ['step:closure', 'no'],
    ['by:alder', 'yes'],
    ['by:"Sorrel Ald"', 'yes'],
    ['by:lark', 'no'],
    ['outcome:rupture', 'yes'],
    ['outcome:detachment', 'no'],
    ['outcome:recorded', 'yes'],
    ['outcome:missing', 'no'],
    ['from:2026-03-02 to:2026-03-02', 'yes'],
    ['from:2026-03-03', 'no'],
    ['to:2026-02', 'no'],
    ['brown', 'yes'],
  ])('answers %j with %s', (text, wanted) => {
    expect(answer(text)).toBe(wanted)
  })

  it('whose outcome or eye is not known is unknown, neither yes nor no', () => {
    expect(answer('outcome:rupture', bare)).toBe('unknown')
    expect(answer('eye:left', bare)).toBe('unknown')
    expect(answer('outcome:missing', bare)).toBe('yes')
  })
})
