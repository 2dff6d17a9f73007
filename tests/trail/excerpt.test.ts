import { describe, expect, it } from 'vitest'
import { excerptOf } from '../../src/trail/excerpt.js'
import { queryOf } from '../../src/trail/find.js'

const excerpt = (texts: readonly string[], words: string): string | undefined => {
  const query = queryOf(words)
  return query && excerptOf(texts, query)
}

describe('the excerpt of what was found', () => {
  it('marks each word that was looked for, whatever its case and accents, and longer words by the last one', () => {
    expect(excerpt(['Übersicht: the Zonules are weak'], 'ubersicht zonul')).toBe('[Übersicht]: the [Zonules] are weak')
  })

  it('finds a number however it was written', () => {
    expect(excerpt(['AL 29,60 again'], '29.6')).toBe('AL [29,60] again')
  })

  it('is taken from the text in which most of the words stand', () => {
    expect(excerpt(['a ring', 'ring ready, rhexis large'], 'rhexis ring')).toBe('[ring] ready, [rhexis] large')
  })

  it('cuts a long text around the first word and says so', () => {
    const long = `${'before '.repeat(40)}zonules ${'after '.repeat(60)}`
    const found = excerpt([long], 'zonules') ?? ''
    expect(found).toMatch(/^… (?:before )+\[zonules\] (?:after )+…$/)
    expect(found.length).toBeLessThan(160)
  })

  it('keeps a word that is longer than an excerpt whole', () => {
    const word = 'x'.repeat(300)
    expect(excerpt([`${'y '.repeat(50)}${word} z`], word)).toContain(`[${word}]`)
  })

  it('is none where the words stand in no text', () => {
    expect(excerpt(['a ring'], 'staphyloma')).toBeUndefined()
    expect(excerpt([], 'ring')).toBeUndefined()
  })
})
