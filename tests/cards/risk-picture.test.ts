import { beforeAll, describe, expect, it } from 'vitest'
import { riskPicture } from '../../src/cards/risk-picture.js'
import type { Plan } from '../../src/plan/plan.js'
import { LONG_BROWN_EYE, planOf } from './documents/a-consult.js'

const pictureOf = (plan: Plan) => {
  const picture = riskPicture(plan)
  if (picture === undefined) throw new Error('there is no picture')
  return picture
}

interface Bar {
  readonly x: number
  readonly width: number
  readonly fill: string
}

const barsOf = (svg: string): readonly Bar[] =>
  [...svg.matchAll(/<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)" height="\d+" fill="([^"]+)"/g)].map(([, x, width, fill]) => ({
    x: Number(x),
    width: Number(width),
    fill: fill ?? '',
  }))

describe('the picture of the risks', () => {
  let plan: Plan
  beforeAll(async () => {
    plan = await planOf(LONG_BROWN_EYE)
  })

  it('draws each figure as long as it is, on one scale from nought', () => {
    const [registrar, scaledLow] = barsOf(pictureOf(plan).svg)
    const odds = plan.risks.find(({ id }) => id === 'capsule-rupture-odds-2009')
    const lowest = Math.min(...(odds?.recalibrated.map(({ value }) => value) ?? []))
    expect((registrar?.width ?? 0) / (scaledLow?.width ?? 1)).toBeCloseTo((odds?.value ?? 0) / lowest, 2)
  })

  it('tells a span from a single figure by its pattern, without colour', () => {
    const bars = barsOf(pictureOf(plan).svg)
    const spans = bars.filter(({ fill }) => fill === 'url(#strokes)')
    expect(spans.length).toBeGreaterThan(2)
    for (const open of spans)
      expect(bars.some((one) => one.fill !== open.fill && Math.abs(one.x + one.width - open.x) < 0.2)).toBe(true)
  })

  it('has model, population and years under every bar, in the picture and in words', () => {
    const { svg, alternative } = pictureOf(plan)
    const drawn = [...svg.matchAll(/>([^<>]*)<\/text>/g)].map(([, words]) => words).join(' ')
    for (const words of ['2001–06 odds model', '55,567 operations, UK', '61,907 eyes', '709,083 operations', '1997–2023']) {
      expect(drawn).toContain(words)
      expect(alternative).toContain(words)
    }
    expect(alternative).toContain('Left eye (OS)')
    expect(alternative).toContain('Capsule rupture, registrar: 14 in 100')
    expect(alternative.length).toBeLessThanOrEqual(2000)
  })

  it('is portrait, with no text smaller than a phone can show and none past the edge', () => {
    const { svg } = pictureOf(plan)
    const [, width, height] = /viewBox="0 0 (\d+) (\d+)"/.exec(svg) ?? []
    expect(Number(width)).toBe(720)
    expect(Number(height)).toBeGreaterThan(720)
    expect([...svg.matchAll(/font-size="(\d+)"/g)].map(([, size]) => Number(size))).toEqual([28])
    const longest = Math.max(...[...svg.matchAll(/>([^<>]*)<\/text>/g)].map(([, words]) => words?.length ?? 0))
    expect(longest).toBeLessThanOrEqual(43)
  })

  it('draws nothing where no model gives a figure', () => expect(riskPicture({ ...plan, risks: [] })).toBeUndefined())

  it('is the same drawing for the same plan', () => expect(pictureOf(plan).svg).toBe(pictureOf(plan).svg))
})
