import { describe, expect, it } from 'vitest'
import { folded, fts5Expression, MOST_WORDS, queryOf, searchText, tokens } from '../../src/trail/find.js'
import { searchWords } from '../../src/trail/words.js'
import { inventedPlan } from '../contracts/invented-plan.js'

describe('the words of a text', () => {
  it.each([
    ['Übersicht, café', ['ubersicht', 'cafe']],
    ['Straße Smørebrød', ['strasse', 'smorebrod']],
    ['AL 29.60 mm', ['al', '29p6', 'mm']],
    ['29,6 and 29.600', ['29p6', 'and', '29p6']],
    ['30.00', ['30']],
    ['MARSH-7', ['marsh', '7']],
    ['\u22121.75 D', ['1p75', 'd']],
    ['sub-Tenon', ['sub', 'tenon']],
    ['白内障', ['白内障']],
    ['*** " ( )', []],
  ])('of %j', (text, words) => {
    expect(tokens(text)).toEqual(words)
  })

  it('fold alike whether an accent is part of its letter or stands after it', () => {
    expect(folded('e\u0301')).toBe(folded('\u00e9'))
  })

  it('are kept as plain words for a store', () => {
    expect(searchText('Left eye (OS), NO 5.2!')).toBe('left eye os no 5p2')
  })
})

describe('a query', () => {
  it('keeps together what was typed together', () => {
    expect(queryOf('sub-Tenon brown')).toEqual({ phrases: [['sub', 'tenon'], ['brown']] })
  })

  it.each(['', '   ', '?!', '"'])('of %j asks for nothing', (text) => {
    expect(queryOf(text)).toBeUndefined()
  })

  it('looks for so many words and no more', () => {
    expect(queryOf('word '.repeat(10_000))?.phrases).toHaveLength(MOST_WORDS)
  })

  it('finds longer words that begin with its last one, but no longer reference', () => {
    const expression = (text: string) => {
      const query = queryOf(text)
      return query && fts5Expression(query)
    }
    expect(expression('brown staphy')).toBe('"brown" "staphy"*')
    expect(expression('brown MARSH-7')).toBe('"brown" "marsh 7"')
    expect(expression('NOT a" OR b')).toBe('"not" "a" "or" "b"*')
  })
})

describe('the words a consult is found by', () => {
  const words = searchText(searchWords(inventedPlan({ question: 'Chop or manual extraction?' })))

  it.each([
    'left eye os',
    'le',
    'al 29p6',
    'long eye',
    'high myopia',
    'brown no 5p2',
    'very hard',
    'staphyloma present',
    'sub tenon',
    'chop or manual extraction',
    'lens 9',
  ])('hold %j', (some) => {
    expect(` ${words} `).toContain(` ${some} `)
  })

  it('do not call an eye long that is not', () => {
    expect(searchWords(inventedPlan({ axialLengthMm: 23.5 }))).not.toContain('long eye')
  })
})
