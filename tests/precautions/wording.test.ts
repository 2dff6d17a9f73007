import { describe, expect, it } from 'vitest'
import { obliges, promiseIn } from '../../src/precautions/wording.js'

describe('wording that promises', () => {
  it.each([
    'A blunt cannula is safe.',
    'Chop safely.',
    'There is no risk of globe injury.',
    'With a ring there are no complications.',
    'Guaranteed by the two-handed technique.',
    'The capsule will not rupture.',
    'It never fails.',
    'The cannula eliminates globe injury.',
    'It always works.',
    'The drug is harmless.',
  ])('is found in "%s"', (text) => expect(promiseIn(text)).toBeDefined())

  it.each([
    'Use a blunt cannula in place of a needle.',
    'Lower the bottle before the tip enters.',
    'Do not hydrodissect; delineate only.',
    'Check the capsule at the end: a safety step of the list.',
    'Say that an unsafe view stops the operation.',
    'Ask when nothing is known of the fellow eye.',
  ])('is not found in "%s"', (text) => expect(promiseIn(text)).toBeUndefined())
})

describe('wording that obliges', () => {
  it('is "must" as a word', () => {
    expect(obliges('The eye must be marked.')).toBe(true)
    expect(obliges('Mustard-coloured nucleus.')).toBe(false)
  })
})
