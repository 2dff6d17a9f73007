import { describe, expect, it } from 'vitest'
import type { Card } from '../../src/cards/card.js'
import { pointsFor, printPage } from '../../src/views/print-page.js'

const card = (over: Partial<Card> = {}): Card => ({
  title: 'Left eye (OS) · A document · MARSH-7',
  summary: 'A document.',
  first: [{ kind: 'line', text: 'Check <this> & "that".', weight: 'strong' }],
  sections: [
    {
      id: 'kit',
      title: 'Kit',
      blocks: [
        { kind: 'list', items: ['☐ Vitrector'] },
        { kind: 'caution', indicator: 'critical', step: 'lens', text: 'Stop.', why: 'Because.' },
      ],
    },
    { id: 'talk', title: 'Talk', blocks: [{ kind: 'list', items: ['agree'] }] },
  ],
  choices: [],
  typing: '',
  footer: 'Once.',
  ...over,
})

describe('the printed page', () => {
  it('runs nothing and loads nothing', () => {
    const html = printPage(card())
    expect(html).not.toMatch(/<script|<link|<img|\bsrc=|url\(|@import|\bon\w+=/i)
  })

  it('is an A4 page for a printer, with the eye large and the rest of the title beside it', () => {
    const html = printPage(card())
    expect(html).toContain('@page { size: A4;')
    expect(html).toContain('<span class="eye">Left eye (OS)</span> <span>A document · MARSH-7</span>')
  })

  it('takes every sign of a text for text', () =>
    expect(printPage(card())).toContain('Check &lt;this&gt; &amp; &quot;that&quot;.'))

  it('tells gravity by a word, not by colour', () => {
    const html = printPage(card())
    expect(html).toContain('<strong class="mark">Critical</strong>')
    const colours = [...html.matchAll(/#[0-9a-f]{3,6}\b/gi)].map(([colour]) => colour)
    expect(new Set(colours)).toEqual(new Set(['#fff', '#000']))
  })

  it('has boxes only where something is to be ticked', () => {
    const html = printPage(card())
    expect(html).toContain('<section id="kit" class="boxes">')
    expect(html).toContain('<section id="talk">')
  })

  it('prints smaller the more there is to say, and never below 7.5 points', () => {
    const long = (signs: number): Card =>
      card({ sections: [{ id: 'a', title: 'A', blocks: [{ kind: 'line', text: 'x'.repeat(signs), weight: 'plain' }] }] })
    const sizes = [100, 4600, 5500, 6500, 9000, 40_000].map((signs) => pointsFor(long(signs), 1))
    expect(sizes).toEqual([11, 10, 9.5, 8.5, 7.5, 7.5])
    expect(printPage(long(40_000))).toContain('x'.repeat(40_000))
  })
})
