import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { splitText } from '../../src/views/split-text.js'

describe('a text that is broken into pieces', () => {
  it('keeps every character that is not white space, in order, within the limit', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme', maxLength: 400 }), fc.integer({ min: 2, max: 60 }), (text, limit) => {
        const pieces = splitText(text, limit)
        expect(pieces.join('').replace(/\s+/g, '')).toBe(text.replace(/\s+/g, ''))
        expect(pieces.every((piece) => piece.length <= limit && piece !== '')).toBe(true)
      }),
    )
  })

  it('breaks after a sentence rather than inside one', () => {
    expect(splitText('Lower the bottle first. Then enter the eye.', 30)).toEqual([
      'Lower the bottle first.',
      'Then enter the eye.',
    ])
  })

  it('breaks a word only when the word alone is too long', () => {
    expect(splitText('abc defghijkl', 5)).toEqual(['abc', 'defgh', 'ijkl'])
  })
})
