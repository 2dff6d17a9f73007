import { describe, expect, it } from 'vitest'
import { comparedInWords, similarLine, similarSection } from '../../src/cards/similar-section.js'
import type { FeatureRow } from '../../src/trail/features.js'
import { compare, type Similar } from '../../src/trail/similar-cases.js'

const row = (ref: string, changes: Partial<FeatureRow>): FeatureRow => ({
  ref,
  askedAt: '2026-03-02T18:00:00.000Z',
  numbers: {},
  words: {},
  yesNo: {},
  steps: [],
  people: [],
  ...changes,
})

const HERE = row('HERE-1', {
  numbers: { axialLengthMm: 29.6, nucleusStep: 4, endothelialCellDensityPerMm2: 2180, pupilDilatedMm: 6 },
  words: { fundusView: 'none' },
  yesNo: { pseudoexfoliation: true },
})
const THERE = row('MARSH-7', {
  numbers: { axialLengthMm: 29.4, nucleusStep: 4, endothelialCellDensityPerMm2: 3400, recommendedPowerD: -2.5 },
  words: { fundusView: 'none' },
  yesNo: { pseudoexfoliation: false },
  decision: { planA: 'Chop under a shield', lensD: 9 },
})

const similar = (there = THERE): Similar => {
  const found = compare(HERE, there)
  if (!found) throw new Error('the cases of this test can be compared')
  return found
}
const textOf = (blocks: readonly unknown[]): string => JSON.stringify(blocks)

describe('the line about cases like this one', () => {
  it('gives the number, the nearest and why it is near', () => {
    expect(similarLine([similar(), similar()])).toEqual({
      kind: 'fact',
      label: 'Like this',
      text: '2 past consults (nearest MARSH-7: AL 29.40 vs 29.60 mm, both very hard nucleus, both no fundal view)',
    })
  })

  it('says so when there is none', () => {
    expect(similarLine([])).toMatchObject({ text: 'no past consult near enough' })
  })
})

describe('the section about cases like this one', () => {
  it('shows what is alike, unlike and unknown, what was decided and that no outcome is known', () => {
    const text = textOf(similarSection([similar()]).blocks)
    for (const words of [
      'MARSH-7 · 2 Mar 2026 · lens \u22122.5 D was recommended',
      'AL 29.40 vs 29.60 mm',
      'ECD 3,400 vs 2,180 cells/mm²',
      'pseudoexfoliation here, not there',
      '"label":"Not known there","text":"pupil"',
      'Chop under a shield, lens +9.0 D',
      'no outcome recorded',
      'the first is of the past case',
      'does not mean that the same plan is right',
    ]) {
      expect(text).toContain(words)
    }
  })

  it('shows the outcome where one was recorded', () => {
    expect(textOf(similarSection([similar({ ...THERE, outcome: 'refraction +0.25 D' })]).blocks)).toContain('refraction +0.25 D')
  })

  it('says that there is none', () => {
    expect(similarSection([]).blocks[0]).toMatchObject({ text: 'No past consult near enough' })
  })

  it('keeps the sign of refractions and powers', () => {
    const words = (there: number, here: number) =>
      comparedInWords({ kind: 'number', fact: 'targetRefractionD', there, here, apart: 0 })
    expect(words(-1.75, 0.5)).toBe('target \u22121.75 D vs +0.50 D')
    expect(words(-1.75, -1.75)).toBe('target \u22121.75 D in both')
  })
})
