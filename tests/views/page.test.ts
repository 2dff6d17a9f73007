import { describe, expect, it } from 'vitest'
import { cardHtml } from '../../src/views/page.js'
import { PAGE_STYLE } from '../../src/views/page-style.js'
import { A_CARD, HOSTILE_CARD } from './a-card.js'

describe('a card as a page', () => {
  it('lets no text of a user become markup', () => {
    const html = cardHtml(HOSTILE_CARD)
    expect(html).not.toContain('<script')
    expect(html).not.toContain('<at>')
    expect(html).not.toContain('<!channel')
    expect(html).toContain('&lt;script&gt;alert(1)&lt;/script&gt;')
  })

  it('carries each choice in the button that makes it, beside the fields of the page', () => {
    const html = cardHtml(A_CARD, { formAction: '/choice', formExtras: '<input type="hidden" name="token" value="t">' })
    expect(html).toContain('<form method="post" action="/choice">\n<input type="hidden" name="token" value="t">')
    const values = [...html.matchAll(/<button[^>]* value="([^"]*)"/g)].map((match) => match[1]?.replaceAll('&quot;', '"') ?? '')
    expect(values.map((value) => JSON.parse(value))).toEqual(A_CARD.choices.map((choice) => choice.does))
  })

  it('opens only the sections that it is told to', () => {
    const html = cardHtml(A_CARD, { open: ['lens'] })
    expect([...html.matchAll(/<details id="([^"]*)" open>/g)].map((match) => match[1])).toEqual(['lens'])
  })

  it('has headings and scopes for a screen reader in every table', () => {
    const html = cardHtml(A_CARD)
    const tables = html.match(/<table>/g)?.length ?? 0
    expect(tables).toBeGreaterThan(2)
    expect(html.match(/<caption>/g)?.length).toBe(tables)
    expect(html).toContain('<th scope="col">')
    expect(html).toContain('<th scope="row">')
  })

  // WCAG 2.2, 1.4.3 (contrast, minimum) with the relative luminance defined there.
  it.each(['light', 'dark'] as const)('has a contrast of at least 4.5 to 1 in its %s colours', (mode) => {
    const [light = '', dark = ''] = [...PAGE_STYLE.matchAll(/:root \{([^}]*)\}/g)].map((match) => match[1] ?? '')
    const colours = new Map(
      [...(mode === 'light' ? light : dark).matchAll(/--([a-z-]+): (#[0-9a-f]{6})/g)].map((match) => [match[1], match[2]]),
    )
    const channel = (hex: string): number => {
      const part = Number.parseInt(hex, 16) / 255
      return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4
    }
    const luminance = (name: string): number => {
      const colour = colours.get(name) ?? ''
      return 0.2126 * channel(colour.slice(1, 3)) + 0.7152 * channel(colour.slice(3, 5)) + 0.0722 * channel(colour.slice(5, 7))
    }
    const contrast = (one: string, other: string): number => {
      const [low = 0, high = 0] = [luminance(one), luminance(other)].sort((a, b) => a - b)
      return (high + 0.05) / (low + 0.05)
    }
    const pairs = ['ink', 'soft', 'deep', 'critical', 'warning', 'info'].flatMap((text) => [
      [text, 'sheet'],
      [text, 'paper'],
    ])
    for (const [text = '', ground = ''] of [...pairs, ['on-deep', 'deep']]) {
      expect(contrast(text, ground), `${text} on ${ground}`).toBeGreaterThanOrEqual(4.5)
    }
  })
})
