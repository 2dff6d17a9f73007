import { describe, expect, it } from 'vitest'
import {
  COLOUR_WORDS,
  type DensityBand,
  densityBand,
  GRADE_RANGES,
  isDense,
  type NuclearScale,
} from '../../src/case/nuclear-density.js'

// The cross-walk is a convention of this project (common practice, no source); these rows are that convention.
const ROWS: readonly (readonly [NuclearScale, number | string, DensityBand])[] = [
  ['locs-iii-no', 0.1, 'soft'],
  ['locs-iii-no', 1.9, 'soft'],
  ['locs-iii-no', 2, 'mild'],
  ['locs-iii-nc', 3.9, 'medium'],
  ['locs-iii-nc', 4, 'hard'],
  ['locs-iii-no', 4.9, 'hard'],
  ['locs-iii-no', 5, 'very-hard'],
  ['locs-iii-no', 5.9, 'very-hard'],
  ['locs-iii-no', 6, 'black'],
  ['locs-iii-no', 6.9, 'black'],
  ['emery', 1, 'soft'],
  ['emery', 3, 'medium'],
  ['emery', 4, 'hard'],
  ['emery', 4.5, 'very-hard'],
  ['emery', 5, 'black'],
  ['buratto', 4, 'hard'],
  ['buratto', 5, 'black'],
  ['plus', 1, 'soft'],
  ['plus', 2, 'medium'],
  ['plus', 3, 'hard'],
  ['plus', 3.5, 'hard'],
  ['plus', 4, 'very-hard'],
  ['bcn-10', 0, 'soft'],
  ['bcn-10', 6, 'hard'],
  ['bcn-10', 7, 'very-hard'],
  ['bcn-10', 9, 'black'],
  ['who', 0, 'soft'],
  ['who', 2, 'medium'],
  ['who', 3, 'very-hard'],
  ['colour', 'amber', 'hard'],
  ['colour', 'brown', 'very-hard'],
  ['colour', 'brunescent', 'very-hard'],
  ['colour', 'black', 'black'],
  ['colour', 'rock hard', 'black'],
]

describe('the density band', () => {
  it.each(ROWS)('takes %s %s as %s', (scale, grade, band) => expect(densityBand(scale, grade)).toBe(band))

  it('has no band for a grade the scale does not have', () => {
    expect(densityBand('locs-iii-no', 7)).toBeUndefined()
    expect(densityBand('locs-iii-no', 0)).toBeUndefined()
    expect(densityBand('emery', 0)).toBeUndefined()
    expect(densityBand('plus', 5)).toBeUndefined()
    expect(densityBand('who', Number.NaN)).toBeUndefined()
    expect(densityBand('colour', 'purple')).toBeUndefined()
    expect(densityBand('colour', 4)).toBeUndefined()
    expect(densityBand('emery', 'brown')).toBeUndefined()
  })

  it('never falls as the grade rises', () => {
    const order = ['soft', 'mild', 'medium', 'hard', 'very-hard', 'black']
    for (const [scale, { low, high }] of Object.entries(GRADE_RANGES)) {
      let before = 0
      for (let tenth = Math.round(low * 10); tenth <= Math.round(high * 10); tenth += 1) {
        const now = order.indexOf(densityBand(scale as NuclearScale, tenth / 10) ?? '')
        expect(now, `${scale} ${tenth / 10}`).toBeGreaterThanOrEqual(before)
        before = now
      }
    }
  })

  it('has a band for each colour word', () => {
    for (const word of COLOUR_WORDS) expect(densityBand('colour', word)).toBeDefined()
  })

  it('calls very hard and black dense, and nothing else', () => {
    const bands = ['soft', 'mild', 'medium', 'hard', 'very-hard', 'black'] as const
    expect(bands.filter(isDense)).toEqual(['very-hard', 'black'])
  })

  it('counts 4+ and brown as dense and Emery IV alone as not', () => {
    const dense = (scale: NuclearScale, grade: number | string): boolean => isDense(densityBand(scale, grade) ?? 'soft')
    expect([dense('plus', 4), dense('colour', 'brown'), dense('emery', 4)]).toEqual([true, true, false])
  })
})
