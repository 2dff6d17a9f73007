import { describe, expect, it } from 'vitest'
import type { Card } from '../../src/cards/card.js'
import { adaptiveMessages } from '../../src/views/adaptive-card.js'
import { cardHtml } from '../../src/views/page.js'
import { plainText } from '../../src/views/plain.js'
import { slackMessages } from '../../src/views/slack-blocks.js'
import { A_CARD, HUGE_CARD } from './a-card.js'
import { squeezed, stringsUnder, textsInChat, textsOf } from './shown-text.js'

const SLACK_KEYS = new Set(['text', 'alt_text'])
const ADAPTIVE_KEYS = new Set(['text', 'title', 'value', 'altText', 'label'])
const unescaped = (html: string): string =>
  html
    .replace(/<[^>]*>/g, ' ')
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&quot;', '"')
    .replaceAll('&#39;', "'")
    .replaceAll('&amp;', '&')

const VIEWS: Readonly<Record<string, (card: Card) => string>> = {
  slack: (card) =>
    stringsUnder(
      slackMessages(card).map((message) => message.blocks),
      SLACK_KEYS,
    ).join(' '),
  adaptive: (card) =>
    stringsUnder(
      adaptiveMessages(card).map((message) => message.card),
      ADAPTIVE_KEYS,
    ).join(' '),
  page: (card) => unescaped(cardHtml(card)),
  plain: (card) => plainText(card, { width: 72 }),
}

describe.each(Object.entries(VIEWS))('the %s view', (name, view) => {
  it.each([
    ['an ordinary card', A_CARD],
    ['a card of 200 precautions', HUGE_CARD],
  ])('shows every text of %s', (_, card) => {
    const shown = squeezed(view(card))
    // A text longer than a message goes on under a repeated heading: there each of its words is looked for.
    const texts = name === 'page' || name === 'plain' ? textsOf(card) : textsInChat(card)
    const wanted = texts.flatMap((text) => (text.length > 2000 ? text.split(' ') : [text]))
    const missing = wanted.filter((text) => !shown.includes(squeezed(text)))
    expect(missing).toEqual([])
  })

  it('names once what only a page or a terminal shows, and posts none of it in a chat', () => {
    const card: Card = {
      ...A_CARD,
      sections: [
        { id: 'deep', title: 'Deep working', where: 'page', blocks: [{ kind: 'line', text: 'a long proof', weight: 'plain' }] },
      ],
    }
    expect(view(card).split('Deep working')).toHaveLength(2)
    expect(view(card).includes('a long proof')).toBe(name === 'page' || name === 'plain')
  })

  it('never drops the sign of a lens power or the side of the eye', () => {
    const shown = view(A_CARD)
    expect(shown).toContain('+9.0 D')
    expect(shown).toContain('−1.75 D')
    expect(shown).toContain('Left eye (OS)')
  })

  it('tells gravity by a word', () => {
    const shown = view(A_CARD)
    const words = name === 'plain' ? ['CRITICAL', 'WARNING', 'NOTE'] : ['Critical', 'Warning', 'Note']
    expect(words.filter((word) => !shown.includes(word))).toEqual([])
  })

  it('keeps the line breaks of a text that is to be copied back', () => {
    const card: Card = { ...A_CARD, first: [{ kind: 'line', text: 'AL 29.60\nK1 42.10@95', weight: 'plain' }] }
    expect(view(card)).toMatch(/AL 29\.60\n+K1 42\.10@95/)
  })
})
