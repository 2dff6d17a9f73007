import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import type { Block } from '../../src/cards/card.js'
import { consultCard } from '../../src/cards/consult-card.js'
import { plainText } from '../../src/views/plain.js'
import { DECIDED, LONG_BROWN_EYE, planOf } from './documents/a-consult.js'

/** What a phone held upright shows in a line of the first screen's text. */
const COLUMNS = 52

const example = (name: string): string => readFileSync(new URL(`../../examples/${name}.txt`, import.meta.url), 'utf8')
const AFTER_CORNEAL_SURGERY =
  'RE 57F, AL 27.80 optical SD 0.02, K1 38.10@10 K2 38.60@100, ACD 3.40, LT 4.30, WTW 11.9, CCT 470; previous myopic LASIK 2004; NS 3+; clear view, macula normal; ECD 2600; target -0.25; A 118.9; registrar; ? which power and who should operate'
const SPARSE = 'RE, AL 24.10 optical, K 43.5 44.1; brown; target -0.50; ? chop or not'

const textOf = (block: Block): string =>
  plainText(
    { title: '', summary: '', first: [block], sections: [], choices: [], typing: '', footer: '' },
    { width: 10_000 },
  ).trim()

const plans = new Map<string, ReturnType<typeof planOf>>()

async function firstOf(message: string) {
  const planned = plans.get(message) ?? planOf(message)
  plans.set(message, planned)
  const plan = await planned
  const { askedBy, ref } = DECIDED
  const { question } = plan.case
  const card = consultCard({
    ref,
    plan,
    askedBy,
    ...(question === undefined ? {} : { question: question.value }),
    revision: 1,
    opinions: [],
    comments: 0,
    openedAt: '2026-03-02T08:00:00Z',
    similar: [],
  })
  const lines = plainText({ ...card, sections: [], choices: [], more: [], typing: '', footer: '' }, { width: COLUMNS }).split(
    '\n',
  )
  return { first: card.first, lines: lines.slice(2).filter((line) => line !== '') }
}

describe('the first screen, before anybody has answered', () => {
  it.each([
    ['a sparse case', SPARSE, 26],
    ['an ordinary eye', example('ordinary-eye'), 26],
    ['an extreme length', example('thirty-four-millimetres'), 26],
    ['a cornea operated before', AFTER_CORNEAL_SURGERY, 30],
    ['a long eye with a brown lens', LONG_BROWN_EYE, 41],
    ['no corneal power', example('no-corneal-power'), 30],
    ['no eye named', example('no-eye-named'), 30],
  ])('stays within what was measured for %s', async (_, message, most) => {
    const { first, lines } = await firstOf(message)
    expect(lines.length).toBeLessThanOrEqual(most)
    expect(first.filter(({ kind }) => kind === 'caution').length).toBeLessThanOrEqual(5)
    expect(first.filter(({ kind }) => kind === 'question').length).toBeLessThanOrEqual(3)
  })

  it.each([
    ['a long eye with a brown lens', LONG_BROWN_EYE],
    ['no corneal power', example('no-corneal-power')],
    ['no eye named', example('no-eye-named')],
  ])('gives no run of seven words twice for %s', async (_, message) => {
    const { first } = await firstOf(message)
    const seen = new Set<string>()
    const twice: string[] = []
    for (const block of first) {
      const words =
        textOf(block)
          .toLowerCase()
          .match(/[\p{L}\p{N}.,-]+/gu) ?? []
      const runs = new Set(words.flatMap((_word, at) => (at + 7 <= words.length ? [words.slice(at, at + 7).join(' ')] : [])))
      for (const run of runs) (seen.has(run) ? twice : []).push(run)
      for (const run of runs) seen.add(run)
    }
    expect(twice).toEqual([])
  })

  it('says beside the chance how far apart the rows are, where that is more than half a dioptre', async () => {
    const chanceOf = async (message: string) =>
      (await firstOf(message)).first.map(textOf).find((text) => text.startsWith('Within 0.50')) ?? ''
    expect(await chanceOf(LONG_BROWN_EYE)).toMatch(/; the rows are 1\.\d D apart \(/)
    const ordinary = await chanceOf(example('ordinary-eye'))
    expect(ordinary).toContain('in 100')
    expect(ordinary).not.toContain('apart')
  })

  it('says a high pressure, contact lenses, a cone and an implant among what is hard', async () => {
    const hardOf = async (words: string) =>
      (await firstOf(`RE 60F, AL 23.5 optical, K 43/44, NS 2+, A 118.9, target 0; ${words}`)).first
        .map(textOf)
        .find((text) => text.startsWith('Hard here')) ?? ''
    expect(await hardOf('IOP 41')).toContain('IOP 41 mmHg')
    expect(await hardOf('wears contact lenses')).toMatch(/contact lenses until lately/i)
    expect(await hardOf('keratoconus')).toMatch(/keratoconus/i)
    expect(await hardOf('phakic IOL in situ')).toMatch(/implant in front of the own lens/i)
    expect(await hardOf('zonules weak 5 clock hours')).toContain('5 clock hours of zonules lost')
    expect(await hardOf('uveitis, posterior synechiae, CCT 655')).toMatch(/uveitis · posterior synechiae · CCT 655 µm/i)
  })

  it('says once that the eye is not named, and what that means for the lens', async () => {
    const { first } = await firstOf(example('no-eye-named'))
    const text = first.map(textOf).join('\n')
    expect(text).toContain('EYE NOT STATED')
    expect(text).toContain('No lens power: Measurements of the other eye would give another lens.')
    expect(text).not.toMatch(/which eye/i)
  })
})
