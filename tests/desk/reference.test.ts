import { describe, expect, it } from 'vitest'
import { refAt } from '../../src/desk/command.js'
import { namesFrom, REFERENCE_WORDS } from '../../src/desk/reference.js'
import { findIdentifiers } from '../../src/intake/identifiers.js'

/** Numbers that look random and are the same in every run. */
function sequence(): (limit: number) => number {
  let state = 12345
  return (limit) => {
    state = (Math.imul(state, 1103515245) + 12345) & 0x7fffffff
    return Math.floor((state / 0x80000000) * limit)
  }
}
const names = () => namesFrom(sequence(), () => 'd')

describe('a reference', () => {
  it('is a word and a number that nothing else is taken for', async () => {
    const ref = await names().consultRef(async () => false)
    expect(ref).toMatch(/^[A-Z]+-[1-9]\d?$/)
    expect(refAt(`${ref} agree`)).toEqual({ ref, rest: 'agree' })
  })

  it('is a free one', async () => {
    const asked: string[] = []
    const ref = await names().consultRef(async (candidate) => {
      asked.push(candidate)
      return asked.length < 3
    })
    expect(asked.indexOf(ref)).toBe(2)
  })

  it('grows by a digit where the small ones are taken', async () => {
    const ref = await names().consultRef(async (candidate) => Number(candidate.split('-')[1]) < 100)
    expect(Number(ref.split('-')[1])).toBeGreaterThanOrEqual(100)
  })

  it('is never invented twice: a full trail is a fault', async () => {
    await expect(names().consultRef(async () => true)).rejects.toThrow('No free reference')
  })

  it.each(REFERENCE_WORDS.map((word) => [word]))('with %s passes the identifier guard in every spelling', (word) => {
    for (const text of [
      `${word}-7 agree`,
      `${word}-9999`,
      `find ${word}-12`,
      `post again ${word.toLowerCase()}-3`,
      `see ${word}-41 too`,
    ]) {
      expect(findIdentifiers(text, '2026-03-02'), text).toEqual([])
    }
  })

  it('comes from words that are all different', () => {
    expect(new Set(REFERENCE_WORDS).size).toBe(REFERENCE_WORDS.length)
    expect(REFERENCE_WORDS.length).toBeGreaterThanOrEqual(101)
  })
})
