import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { chromiumPath, launchChromium } from '../../tools/chromium.js'
import { CASE_MESSAGE, startTestPage, type TestPage } from './a-page.js'

const path = chromiumPath()

describe.runIf(path !== undefined)('the page in a browser', () => {
  let server: TestPage
  let browser: Browser
  beforeAll(async () => {
    server = await startTestPage('on')
    browser = await launchChromium(path ?? '')
  })
  afterAll(async () => {
    await browser?.close()
    await server?.stop()
  })

  async function at(width: number, colorScheme: 'light' | 'dark' = 'light'): Promise<{ page: Page; complaints: string[] }> {
    const page = await browser.newPage({ viewport: { width, height: 844 }, colorScheme })
    const complaints: string[] = []
    page.on('console', (message) => complaints.push(message.text()))
    page.on('pageerror', (error) => complaints.push(error.message))
    await page.goto(server.url)
    return { page, complaints }
  }

  const scrollsSideways = (page: Page) =>
    page.evaluate('document.documentElement.scrollWidth > document.documentElement.clientWidth')

  it.each([390, 1280])(
    'takes a stranger from a pasted case to the card at %i px, without a script and without a complaint',
    async (width) => {
      const { page, complaints } = await at(width)
      await page.getByLabel('The case, as on the biometry sheet').fill(CASE_MESSAGE)
      await page.getByRole('button', { name: 'Read it back' }).click()
      await page.getByRole('heading', { name: /Left eye \(OS\)/ }).waitFor()
      expect(await scrollsSideways(page)).toBe(false)
      await page.getByRole('button', { name: /^Post/ }).click()
      await page.getByRole('link', { name: /^Open / }).click()
      await page.getByText('+9.0 D for', { exact: false }).first().waitFor()
      expect(await scrollsSideways(page)).toBe(false)
      for (const summary of await page.locator('article summary').all()) await summary.click()
      expect(await scrollsSideways(page)).toBe(false)
      expect(complaints).toEqual([])
      await page.close()
    },
  )

  it('shows the invented consult with its answers on the first visit', async () => {
    const { page } = await at(390)
    await page.locator('ul.consults a').last().click()
    await page.getByText('Need this first', { exact: false }).first().waitFor()
    expect(await page.content()).toContain('invented')
    await page.close()
  })

  it('can be used with the keyboard alone, and every control has a name', async () => {
    const { page } = await at(390)
    await page.keyboard.press('Tab')
    expect(await page.evaluate('document.activeElement.textContent')).toBe('To the content')
    const nameless = await page.evaluate(`[...document.querySelectorAll('input:not([type=hidden]), textarea, button, select')]
      .filter((control) => !(control.labels?.length || control.textContent.trim() || control.getAttribute('aria-label'))).length`)
    expect(nameless).toBe(0)
    await page.close()
  })

  it.each(['light', 'dark'] as const)('keeps text readable in %s: contrast of at least 4.5 to 1', async (scheme) => {
    const { page } = await at(390, scheme)
    await page.locator('ul.consults a').last().click()
    await page.locator('article').waitFor()
    for (const summary of await page.locator('article summary').all()) await summary.click()
    const faint = (await page.evaluate(CONTRAST)) as { text: string; ratio: number }[]
    expect(faint).toEqual([])
    const [example, quiet] = (await page.evaluate(`['::placeholder', undefined].map((part) =>
      getComputedStyle(document.querySelector(part ? '#q' : '.quiet'), part).color)`)) as [string, string]
    expect(example).toBe(quiet)
    await page.close()
  })
})

/** Text whose contrast against its background is below 4.5 : 1. Source of the formula: WCAG 2.2, relative luminance and contrast ratio. */
const CONTRAST = `(() => {
  const parse = (colour) => (colour.match(/[\\d.]+/g) ?? []).map(Number)
  const channel = (value) => (value / 255 <= 0.04045 ? value / 255 / 12.92 : ((value / 255 + 0.055) / 1.055) ** 2.4)
  const luminance = ([r, g, b]) => 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b)
  const ground = (element) => {
    for (let at = element; at; at = at.parentElement) {
      const colour = parse(getComputedStyle(at).backgroundColor)
      if (colour.length === 3 || colour[3] > 0) return colour
    }
    return [255, 255, 255]
  }
  const faint = []
  for (const element of document.querySelectorAll('main *, header *, footer *')) {
    if (element.closest('svg')) continue
    const text = [...element.childNodes].filter((node) => node.nodeType === 3).map((node) => node.textContent.trim()).join('')
    if (!text || element.getClientRects().length === 0) continue
    const [one, other] = [luminance(parse(getComputedStyle(element).color)), luminance(ground(element))]
    const ratio = (Math.max(one, other) + 0.05) / (Math.min(one, other) + 0.05)
    if (ratio < 4.5) faint.push({ text: text.slice(0, 40), ratio })
  }
  return faint
})()`
