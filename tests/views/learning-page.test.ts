import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { learningCard, learningPage } from '../../src/views/learning-page.js'
import { plainText } from '../../src/views/plain.js'
import { cumulativePlot } from '../../src/views/plot-cumulative.js'
import { intervalPlot } from '../../src/views/plot-intervals.js'
import { inventedLessons, learningOf } from '../learning/a-taught-trail.js'
import { chromiumPath, launchChromium } from '../tools/chromium.js'

const lessons = inventedLessons(80)
const learning = learningOf(lessons)
const pictures = (card = learningCard(learning)) =>
  card.sections.flatMap(({ blocks }) => blocks).flatMap((block) => (block.kind === 'picture' ? [block] : []))

describe('the learning page', () => {
  it('names the convention, the model with its years, and the denominator', () => {
    const text = plainText(learningCard(learning), { width: 100 }).replaceAll(/\s+/g, ' ')
    expect(text).toContain('achieved minus predicted; positive: more hyperopic than predicted')
    expect(text).toMatch(/Consults only: \d+ operations with an outcome on record/)
    expect(text).toMatch(/Expected by the 2001–06 odds model \(55,567 cataract operations in 12 UK trusts, 2001–06\)/)
    expect(text).toContain('UK 2016–22, 1.01 %')
    expect(text).toContain('None is applied')
  })

  it('says in words what each plot shows', () => {
    const shown = pictures()
    expect(shown.length).toBeGreaterThanOrEqual(5)
    for (const { alternative } of shown) expect(alternative).toMatch(/\d/)
  })

  it('draws with presentation attributes only, so that a strict policy lets it through', () => {
    const html = learningPage(learning)
    expect(html).not.toMatch(/\sstyle="/)
    expect(html).not.toContain('<script')
    expect(html.match(/<style>/g)).toHaveLength(1)
  })

  it('gives no figure below the limits, and says so', () => {
    const few = plainText(learningCard(learningOf(lessons.slice(0, 4))), { width: 100 })
    expect(few).toContain('Fewer than 10 eyes for every formula: no figure is given.')
    expect(few).toContain('Fewer than 10 operations: no chart is given.')
    expect(few.replaceAll(/\s+/g, ' ')).toContain('Fewer than 5 consults with a known outcome for every kind of opinion')
    expect(pictures(learningCard(learningOf(lessons.slice(0, 4))))).toEqual([])
  })

  it('has something to say of an empty trail', () => {
    const empty = plainText(learningCard(learningOf([])), { width: 80 })
    expect(empty).toContain('5 consults up to 2026-11-24; 0 with an outcome on record.')
    expect(empty).toContain('No eye can be compared yet')
  })

  it('lets no lens label become markup', () => {
    const hostile = lessons.map((lesson) =>
      lesson.implanted ? { ...lesson, implanted: { ...lesson.implanted, lensLabel: '<script>alert(1)</script>' } } : lesson,
    )
    expect(learningPage(learningOf(hostile))).not.toContain('<script')
  })
})

describe('a plot', () => {
  it('holds every interval inside its frame', () => {
    const svg = intervalPlot({
      rows: [{ name: 'far', value: 3, low: -4, high: 9 }],
      reach: [-0.5, 0.5],
      axis: 'D',
      tick: String,
    })
    const places = [...svg.matchAll(/(?:points|x)="([^"]+)"/g)].flatMap((match) =>
      (match[1] ?? '').split(' ').map((place) => Number(place.split(',')[0])),
    )
    for (const x of places) expect(x >= 0 && x <= 720).toBe(true)
  })

  it('of many operations stays small', () => {
    const points = Array.from({ length: 100_000 }, (_, index) => ({
      operation: index + 1,
      difference: Math.sin(index / 5000),
      low: -2,
      high: 2,
      rupture: index % 100 === 0,
    }))
    expect(cumulativePlot(points, { x: 'operations', y: 'difference' }).length).toBeLessThan(60_000)
  })
})

const browserPath = chromiumPath()
describe.runIf(browserPath !== undefined)('the learning page in a browser', () => {
  let browser: Browser
  beforeAll(async () => {
    browser = await launchChromium(browserPath ?? '')
  })
  afterAll(() => browser.close())

  it.each([
    ['a phone', 390, 844],
    ['a desk', 1280, 900],
  ])('fits %s: nothing is wider than the window, and every plot is drawn', async (_, width, height) => {
    const page = await browser.newPage({ viewport: { width, height } })
    await page.setContent(learningPage(learning))
    expect(await page.evaluate<number>('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width)
    const drawings = await page.locator('svg').all()
    expect(drawings.length).toBe(pictures().length)
    for (const drawing of drawings) expect((await drawing.boundingBox())?.width).toBeGreaterThan(300)
    await page.close()
  })
})
