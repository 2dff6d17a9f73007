import { readdirSync, readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { EXAMPLE_MESSAGES } from '../../src/intake/guidance.js'
import { findIdentifiers, identifierMessage } from '../../src/intake/identifiers.js'
import { COMMENTS, COMMENTS_IN_JARGON, COMMENTS_LEFT_OUT } from './comments.js'
import { IDENTIFYING, IDENTIFYING_LEFT_OUT } from './identifying-texts.js'
import { reading, TODAY } from './reading-of.js'

const kinds = (text: string): readonly string[] => findIdentifiers(text, TODAY).map(({ kind }) => kind)

// Every name, number and address here is invented.
describe('the identifier guard refuses', () => {
  it.each([
    ['Mr Smith 58M LE AL 29', 'name'],
    ['mr smith', 'name'],
    ['Mrs. Jane Doe', 'name'],
    ['patient: John Smith', 'name'],
    ['pt name Alvaro Querty', 'name'],
    ['Name: Xu', 'name'],
    ['JOHN SMITH\nLE 58M AL 29.6', 'name'],
    ['Zbigniew Kowalczyk LE 58M', 'name'],
    ['LE 58M Zbigniew Kowalczyk', 'name'],
    ['Kowalczyk, 58M LE', 'name'],
    ['Kowalczyk\nLE 58M AL 29', 'name'],
    ['J. Kowalczyk RE', 'name'],
    ['john smith le 58m', 'name'],
    ['Ｊｏｈｎ Ｓｍｉｔｈ', 'name'],
    ['Jo\u200bhn Smi\u200bth', 'name'],
    ['王伟 LE 58M', 'name'],
    ['? does Mr Quillfeather need a ring', 'name'],
    ['DOB 12/03/1961', 'date-of-birth'],
    ['D.O.B. 1.2.1950', 'date-of-birth'],
    ['born 1961-03-12', 'date-of-birth'],
    ['date of birth 12 March 1961', 'date-of-birth'],
    ['LE 12/03/1961 AL 29', 'date-of-birth'],
    ['12 March 1961', 'date-of-birth'],
    ['LE 12/03/2026', 'date-of-birth'],
    ['surgery 1961-03-12', 'date-of-birth'],
    ['biometry 01/10/2019', 'date-of-birth'],
    ['MRN 12345', 'record-number'],
    ['NHS 943 476 5919', 'record-number'],
    ['hospital no. H123456', 'record-number'],
    ['Hosp No: 445566', 'record-number'],
    ['H1234567', 'record-number'],
    ['07700 900123', 'phone'],
    ['+44 7700 900123', 'phone'],
    ['tel 900123', 'phone'],
    ['quill@mail.example', 'email'],
    ['q.feather@mail.example.org', 'email'],
    ['12 High Street', 'address'],
    ['address: 4 long lane', 'address'],
    ['ZZ1 3QQ', 'address'],
    ['1234567', 'long-number'],
    ['123 456 7890', 'long-number'],
    ['12-34-567-89', 'long-number'],
    ['1.2.3.4.5.6.7', 'long-number'],
    ['１２３４５６７', 'long-number'],
    ['123\u200b456\u200b7', 'long-number'],
    ['١٢٣٤٥٦٧', 'long-number'],
  ])('%j as %s', (text, kind) => {
    expect(kinds(text)).toContain(kind)
    expect(reading(text).kind).toBe('identifiers')
  })
})

describe('the identifier guard lets pass', () => {
  const folder = new URL('../../examples/', import.meta.url)
  const examples = readdirSync(folder).filter((name) => name.endsWith('.txt') && name !== 'with-identifiers.txt')
  it('has examples to look at', () => expect(examples.length).toBeGreaterThanOrEqual(12))
  it.each(examples)('%s', (name) => expect(kinds(readFileSync(new URL(name, folder), 'utf8'))).toEqual([]))
  it.each(EXAMPLE_MESSAGES.map((text) => [text]))('the example of the help %#', (text) => expect(kinds(text)).toEqual([]))

  it.each([
    ['K1 42.10@95 K2 43.20@5'],
    ['ECD 2,180'],
    ['ECD 2180 2250'],
    ['CCT 548 541'],
    ['AL 29.60 29.58 29.61 29.62'],
    ['A 118.9'],
    ['SNR 118.5'],
    ['K 42/43 AL 29 ACD 3 LT 4 CCT 548 WTW 12'],
    ['Refraction -14.50/-1.25x170'],
    ['VA 6/60 20/200'],
    ['Haigis a0 -0.769 a1 0.234 a2 0.217'],
    ['op 2026-12-03'],
    ['surgery 3 Dec 2026'],
    ['listed for 3 December 2026'],
    ['next list 03/12/2026'],
    ['biometry 01/10/2026'],
    ['Tamsulosin Stopped 2019'],
    ['Next List'],
    ['Divide and Conquer'],
    ['LE Brown Cataract, No View, Chop Or Manual?'],
    ['DR none, Diabetic'],
    ['Right Eye Axial Length 29.60'],
    ['Ask Dr Whitlock whether chop'],
    ['Dr Whitlock says chop'],
    ['Dr Whitlock, right eye only please'],
    ['Emery Little IV'],
    ['Please Help'],
    ['Left Eye Pseudophakic'],
    ['meds: Warfarin, Bisoprolol'],
    ['Thanks Everyone'],
    ['Fuchs Dystrophy'],
    ['Miss nothing'],
    ["Sub-Tenon's Block"],
    ['ZONULES WEAK NO PXF REGISTRAR OPERATING'],
  ])('%j', (text) => expect(kinds(text)).toEqual([]))
})

/** Refused by nothing: one unknown word after "for" can be a name, a place or a word of the trade. */
const KNOWN_MISSES = ['RE phaco for Thistlewood', 're: Thistlewood']

// The lists left out were written before the tuning, by the same hand: of 40 comments 6 were refused and of 40 texts that
// identify 9 passed before it; after it 0 and 1. Of 30 and 30 more, written after it in heavier jargon and tried once, 5
// comments were refused and 2 identifying texts passed; what was learned from them is in the lists below.
describe('the identifier guard on what people write', () => {
  it('has enough of it', () => {
    expect(COMMENTS.length).toBeGreaterThanOrEqual(60)
    expect(IDENTIFYING.length).toBeGreaterThanOrEqual(60)
  })
  it.each([...COMMENTS, ...COMMENTS_LEFT_OUT, ...COMMENTS_IN_JARGON])('lets pass %j', (text) => expect(kinds(text)).toEqual([]))
  it.each([...IDENTIFYING, ...IDENTIFYING_LEFT_OUT].filter(([text]) => !KNOWN_MISSES.includes(text)))(
    'refuses %j as %s',
    (text, kind) => expect(kinds(text)).toContain(kind),
  )
  it.each(KNOWN_MISSES)('is known to miss %j', (text) => expect(kinds(text)).toEqual([]))
})

describe('one run of words', () => {
  it.each([
    ['12.03.1961', 'date-of-birth'],
    ['DOB: 12031961', 'date-of-birth'],
    ['born 12 03 1961', 'date-of-birth'],
    ['NHS no 1203611234', 'record-number'],
    ['tel 07700900123', 'phone'],
    ['1234567@mail.example', 'email'],
  ])('%j is reported once, as the most specific', (text, kind) => expect(kinds(text)).toEqual([kind]))
  it('is reported beside the others', () =>
    expect(kinds('Mr Quill, DOB 12.03.1961, NHS 943 476 5919')).toEqual(['name', 'date-of-birth', 'record-number']))
})

describe('what the identifier guard says', () => {
  it('names kind, line and character, and what to write instead', () => {
    const found = findIdentifiers('LE 58M\n AL 29, DOB 12/03/1961', TODAY)
    expect(found).toEqual([{ kind: 'date-of-birth', line: 2, column: 9 }])
    expect(identifierMessage(found)).toContain('line 2, character 9')
    expect(identifierMessage(found)).toContain('age instead of the date of birth')
  })

  it('counts characters as typed, zero-width and full-width ones too', () =>
    expect(findIdentifiers('ＬＥ\u200b， MRN ４４５５６６７', TODAY)).toEqual([{ kind: 'record-number', line: 1, column: 10 }]))

  it('never repeats what was found', () => {
    const secret = fc.constantFrom('Quillfeather', 'Zbigniew', '4455667', '12/03/1958', 'quill@mail.example')
    fc.assert(
      fc.property(secret, fc.string(), (word, around) => {
        const understood = reading(`Mr ${word} ${around}`)
        expect(JSON.stringify(understood)).not.toContain(word)
        if (understood.kind === 'identifiers') expect(identifierMessage(understood.found)).not.toContain(word)
      }),
      { numRuns: 200, seed: 3 },
    )
  })
})
