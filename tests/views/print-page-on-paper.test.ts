import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Card } from '../../src/cards/card.js'
import { consentWording } from '../../src/cards/documents/consent-wording.js'
import { recordSummary } from '../../src/cards/documents/record-summary.js'
import { theatreSheet } from '../../src/cards/documents/theatre-sheet.js'
import type { Plan } from '../../src/plan/plan.js'
import { printPage } from '../../src/views/print-page.js'
import { DECIDED, LONG_BROWN_EYE, planOf, UNANSWERED } from '../cards/documents/a-consult.js'
import { chromiumPath, launchChromium } from '../tools/chromium.js'

const path = chromiumPath()

describe.runIf(path !== undefined)('a document on paper', () => {
  let browser: Browser
  let plan: Plan
  beforeAll(async () => {
    browser = await launchChromium(path ?? '')
    plan = await planOf(LONG_BROWN_EYE)
  })
  afterAll(() => browser?.close())

  async function pagesOf(html: string): Promise<number> {
    const page = await browser.newPage({ javaScriptEnabled: false })
    await page.setContent(html)
    const pdf = await page.pdf({ preferCSSPageSize: true })
    await page.close()
    return (pdf.toString('latin1').match(/\/Type\s*\/Page\b/g) ?? []).length
  }

  it.each<[string, 1 | 2, (plan: Plan) => Card]>([
    ['theatre sheet, decided', 2, (made) => theatreSheet(DECIDED, made)],
    ['theatre sheet, nothing decided and nobody answered', 2, (made) => theatreSheet(UNANSWERED, made)],
    ['summary for the record', 2, (made) => recordSummary(DECIDED, made)],
    ['wording for consent', 1, consentWording],
  ])('prints the %s of the long eye with a brown lens on one A4 page', async (_name, columns, build) =>
    expect(await pagesOf(printPage(build(plan), { columns }))).toBe(1),
  )

  it('goes on to a second page rather than leave something out', async () => {
    const item = 'A precaution that takes a line of its own on the sheet. '
    const card = theatreSheet(DECIDED, plan)
    const long = {
      ...card,
      sections: [
        ...card.sections,
        { id: 'more', title: 'More', blocks: [{ kind: 'list', items: Array(200).fill(item) } as const] },
      ],
    }
    expect(await pagesOf(printPage(long, { columns: 2 }))).toBeGreaterThan(1)
  })

  it('shows the eye at least twice as large as anything else and does not scroll sideways on a phone', async () => {
    const page = await browser.newPage({ viewport: { width: 390, height: 844 } })
    await page.setContent(printPage(theatreSheet(DECIDED, plan), { columns: 2 }))
    const sizes = (await page.evaluate(
      `[...document.querySelectorAll('body *')].map((one) => [one.className === 'eye' ? 1 : 0, parseFloat(getComputedStyle(one).fontSize)])`,
    )) as [number, number][]
    const eye = Math.max(...sizes.filter(([isEye]) => isEye === 1).map(([, size]) => size))
    await page.emulateMedia({ media: 'print' })
    const printed = (await page.evaluate(
      `[...document.querySelectorAll('body *:not(.eye):not(svg, svg *)')].map((one) => parseFloat(getComputedStyle(one).fontSize))`,
    )) as number[]
    expect(eye).toBeGreaterThan(24)
    expect(Math.max(...printed) * 2).toBeLessThanOrEqual((25 * 4) / 3)
    expect(await page.evaluate('document.documentElement.scrollWidth > document.documentElement.clientWidth')).toBe(false)
    await page.close()
  })
})
