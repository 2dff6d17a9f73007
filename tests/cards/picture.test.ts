import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { planPicture } from '../../src/cards/picture.js'
import { drawnRows, spreadApart } from '../../src/cards/picture-chart.js'
import { eyeSection } from '../../src/cards/picture-eye.js'
import type { Plan } from '../../src/plan/plan.js'
import { A_PLAN } from './a-plan.js'

function pictureOf(plan: Plan): { readonly svg: string; readonly alternative: string } {
  const picture = planPicture(plan)
  if (picture === undefined) throw new Error('there is no picture')
  return picture
}

const linesOf = (
  svg: string,
): readonly { readonly points: readonly (readonly [number, number])[]; readonly dash: string | undefined }[] =>
  [...svg.matchAll(/<polyline points="([^"]*)"[^>]*?(?:stroke-dasharray="([^"]*)")? \/>/g)].map((match) => ({
    points: (match[1] ?? '').split(' ').map((pair) => pair.split(',').map(Number) as [number, number]),
    dash: match[2],
  }))

/** The lines of the chart: more than two points, one for each lens power. */
const curves = (svg: string) => linesOf(svg).filter((line) => line.points.length === 5)

describe('the picture of a plan', () => {
  const { svg, alternative } = pictureOf(A_PLAN)

  it('has one line for each formula that counts, solid where the recommendation stands on it, dashed where it is compared', () => {
    const rows = drawnRows(A_PLAN)
    expect(curves(svg).map((line) => line.dash === undefined)).toEqual(rows.map((row) => row.basis))
    expect(rows.some((row) => row.formula === 'haigis')).toBe(false)
  })

  it('puts the refraction of each step where the axis says it is', () => {
    const tick = (words: string): number => Number(new RegExp(`y="([\\d.]+)"[^>]*>${words}</text>`).exec(svg)?.[1]) - 10
    const perDioptre = (tick('−2.0') - tick('−1.0')) / 1
    const [first] = curves(svg)
    const [row] = drawnRows(A_PLAN)
    const steps = row?.predicted ?? []
    first?.points.forEach(([, y], index) => {
      expect(y).toBeCloseTo(tick('−1.0') + (-1 - (steps[index]?.refractionD ?? 0)) * perDioptre, 0)
    })
  })

  it('draws the globe as long as it was measured, at the scale of the average eye beside it', () => {
    const width = (shape: { axialLengthMm: number }): number => {
      const [globe = ''] = eyeSection(shape, { x: 0, y: 0 }, 10)
      const [, limbus, halfLength, halfHeight, rim] = (
        /M ([\d.]+) (?:[-\d.]+) A ([\d.]+) ([\d.]+) 0 1 1 [\d.]+ ([\d.]+)/.exec(globe) ?? []
      ).map(Number)
      // The ellipse passes through the rim of the cornea and ends half its length behind its centre.
      const slope = Math.sqrt(1 - ((rim ?? 0) / (halfHeight ?? 1)) ** 2)
      return (limbus ?? 0) + (halfLength ?? 0) * (1 + slope)
    }
    expect(width({ axialLengthMm: 29.6 })).toBeCloseTo(296, 0)
    expect(width({ axialLengthMm: 20 })).toBeCloseTo(200, 0)
  })

  it('has no text smaller than a phone can show', () => {
    expect(svg).toContain('font-size="28"')
    expect([...svg.matchAll(/font-size="(\d+)"/g)].filter((match) => Number(match[1]) < 28)).toEqual([])
  })

  it('tells its numbers in words, with the side and the signs', () => {
    for (const part of [
      'Left eye (OS)',
      '29.60 mm',
      '24.4 mm',
      '3.45 mm',
      '+9.0 D',
      'Target −1.75 D',
      'SRK/T, 2011 length adjustment −1.75 D',
    ]) {
      expect(alternative).toContain(part)
    }
    expect(alternative.length).toBeLessThanOrEqual(2000)
  })

  it('is the same drawing for the same plan', () => expect(pictureOf(A_PLAN).svg).toBe(svg))

  it('draws only the eye when no lens power could be computed, and nothing when the length is not known', () => {
    const { recommended: _, spread: __, ...lens } = A_PLAN.lens
    const without = pictureOf({ ...A_PLAN, lens: { ...lens, formulas: [] } })
    expect(curves(without.svg)).toEqual([])
    expect(without.svg).toContain('No lens power could be computed.')
    const { axialLengthMm: ___, ...facts } = A_PLAN.case
    expect(planPicture({ ...A_PLAN, case: facts })).toBeUndefined()
  })

  it('leaves out a lens whose depth or thickness is not stated, and says so in words', () => {
    const { anteriorChamberDepthMm: _, ...facts } = A_PLAN.case
    const picture = pictureOf({ ...A_PLAN, case: facts })
    expect(picture.alternative).toContain('Anterior chamber depth not stated')
    expect(picture.svg).toContain('ACD ? · LT 4.90 mm')
  })

  it('keeps the longest eye within its column', () => {
    const long = pictureOf({ ...A_PLAN, case: { ...A_PLAN.case, axialLengthMm: { value: 40, source: 'AL 40', line: 1 } } })
    const axis = linesOf(long.svg).find((line) => line.dash === '2 6')
    expect(axis?.points.map(([x]) => x)).toEqual([20, 340])
  })
})

describe('labels beside the lines', () => {
  it('never lie on each other, nor outside the frame while they fit into it', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 480, max: 850 }), { maxLength: 12 }), (wanted) => {
        const heights = [...spreadApart(wanted, 480, 850)].sort((one, other) => one - other)
        const gaps = heights.slice(1).map((height, index) => height - (heights[index] ?? 0))
        expect(gaps.every((gap) => gap >= 30)).toBe(true)
        expect(heights.every((height) => height >= 480 && height <= 850)).toBe(true)
      }),
    )
  })
})
