import { beforeAll, describe, expect, it } from 'vitest'
import { consentWording } from '../../../src/cards/documents/consent-wording.js'
import { frequencyRange } from '../../../src/cards/frequency-range.js'
import type { Plan } from '../../../src/plan/plan.js'
import { plainText } from '../../../src/views/plain.js'
import { LONG_BROWN_EYE, planOf } from './a-consult.js'

const textOf = (card: ReturnType<typeof consentWording>): string => plainText(card, { width: 10_000 })

/** What a patient reads: without the surgeon's own lines, which stand small. */
const patientText = (plan: Plan): string =>
  consentWording(plan)
    .sections.flatMap(({ blocks }) => blocks)
    .flatMap((block) => {
      if (block.kind === 'fact') return [`${block.label}. ${block.text}`]
      return block.kind === 'line' && block.weight === 'plain' ? [block.text] : []
    })
    .join(' ')

const syllablesOf = (word: string): number =>
  Math.max(
    1,
    (
      word
        .toLowerCase()
        .replace(/(?:e|es|ed)$/, '')
        .match(/[aeiouy]+/g) ?? []
    ).length,
  )

/**
 * Reading grade by Kincaid JP, Fishburne RP, Rogers RL, Chissom BS. Derivation of new readability formulas for Navy enlisted
 * personnel. Research Branch Report 8-75, 1975: 0.39 words/sentence + 11.8 syllables/word - 15.59. From memory of the report.
 */
function readingGrade(text: string): number {
  const sentences = text.split(/[.!?:](?=\s|$)/).filter((one) => /[a-z]/i.test(one))
  const words = text.match(/[a-z][a-z'’-]*/gi) ?? []
  const syllables = words.reduce((sum, word) => sum + syllablesOf(word), 0)
  return 0.39 * (words.length / sentences.length) + 11.8 * (syllables / words.length) - 15.59
}

describe('the reading grade of the tests', () => {
  it('tells plain words from those of a paper', () => {
    expect(readingGrade('The cat sat on the mat. It was warm. The sun was out.')).toBeLessThan(2)
    expect(
      readingGrade(
        'Phacoemulsification of brunescent cataracts necessitates considerable ultrasonic energy, endangering endothelial integrity.',
      ),
    ).toBeGreaterThan(16)
  })
})

describe('the wording for consent', () => {
  let plan: Plan
  beforeAll(async () => {
    plan = await planOf(LONG_BROWN_EYE)
  })

  it('can be read by a child of twelve: seventh grade at most', () =>
    expect(readingGrade(patientText(plan))).toBeLessThanOrEqual(7))

  it('gives the rupture for this surgeon, at later rates and with a consultant, as counts of people', () =>
    expect(textOf(consentWording(plan))).toContain(
      'With this surgeon (registrar): 14 in 100, by an older study. Scaled to later years: 6 to 8 in 100. With a consultant: 9 in 100',
    ))

  it('puts model, population and years under every figure', () => {
    const blocks = consentWording(plan).sections.find(({ id }) => id === 'harms')?.blocks ?? []
    const figures = blocks.flatMap((block, index) =>
      block.kind === 'fact' && /\d in [\d,]+/.test(block.text) ? [{ text: block.text, under: blocks[index + 1] }] : [],
    )
    expect(figures.length).toBeGreaterThan(5)
    for (const { under } of figures) {
      expect(under).toMatchObject({ kind: 'line', weight: 'quiet' })
      expect(under?.kind === 'line' ? under.text : '').toMatch(/^\[.*(?:19|20)\d\d.*\]$/)
    }
  })

  it('promises nothing and calls nothing safe', () => {
    const text = patientText(plan).toLowerCase()
    expect(text).not.toMatch(/\b(?:safe|safely|guarantee\w*|certainly|always|never|no risk|you will see)\b/)
    expect(text).toContain('we cannot say for sure that you will')
  })

  it('says what is not known: no study of both, studies that disagree, facts not stated, harms without a figure', () => {
    const text = textOf(consentWording(plan))
    for (const words of [
      'We know of no study of eyes that are both this long and this hard.',
      'The studies do not agree.',
      'Not yet known about this eye',
      'none is worked out here',
    ])
      expect(text).toContain(words)
  })

  it('tells of a needle only where one may be used', async () => {
    const needle = 'A needle can go into the eye'
    expect(textOf(consentWording(plan))).toContain(needle)
    expect(textOf(consentWording(await planOf(`${LONG_BROWN_EYE}; sub-Tenon`)))).not.toContain(needle)
  })

  it('tells of eyes that will not match where the difference is large', async () => {
    const unequal = await planOf(LONG_BROWN_EYE.replace('pseudophakic -1.50', 'phakic -14.00'))
    expect(textOf(consentWording(unequal))).toContain('Your two eyes may not match')
    expect(textOf(consentWording(plan))).not.toContain('Your two eyes may not match')
  })

  it('gives no figure where the plan holds none', () => {
    const bare = textOf(consentWording({ ...plan, risks: [], surgery: [], lens: { ...plan.lens, forecast: undefined } }))
    expect(bare).toContain('The skin behind the lens can tear: No figure can be given for your eye.')
    expect(bare).not.toMatch(/: \d+ in \d/)
  })

  it('asks which eye where none was stated', async () =>
    expect(textOf(consentWording(await planOf(LONG_BROWN_EYE.replace('LE ', ''))))).toContain('eye (SAY WHICH)'))
})

describe('a range of frequencies', () => {
  it.each([
    [0.056, 0.08, '6 to 8 in 100'],
    [0.05, 0.05, '5 in 100'],
    [0.004, 0.02, '4 in 1,000 to 2 in 100'],
  ])('%d to %d is %s', (low, high, words) => expect(frequencyRange(low, high)).toBe(words))
})
