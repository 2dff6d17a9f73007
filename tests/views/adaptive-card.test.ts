import { createRequire } from 'node:module'
import { describe, expect, it } from 'vitest'
import { type AdaptiveCard, adaptiveMessages } from '../../src/views/adaptive-card.js'
import { A_CARD, HOSTILE_CARD, HUGE_CARD } from './a-card.js'
import { stringsUnder } from './shown-text.js'

/** The part of the reference library that is used: it is loaded from its browser bundle, the only one Node can load. */
interface ReferenceLibrary {
  readonly Versions: { readonly v1_4: unknown }
  readonly SerializationContext: new (
    version: unknown,
  ) => { readonly eventCount: number; getEventAt(index: number): { message: string } }
  readonly AdaptiveCard: new () => {
    parse(card: unknown, context: unknown): void
    validateProperties(): { readonly validationEvents: readonly { readonly message: string }[] }
  }
}
const require = createRequire(import.meta.url)
const reference = require('adaptivecards/dist/adaptivecards.js') as ReferenceLibrary

function faultsOf(card: AdaptiveCard | object): readonly string[] {
  const context = new reference.SerializationContext(reference.Versions.v1_4)
  const parsed = new reference.AdaptiveCard()
  parsed.parse(card, context)
  const whileParsing = Array.from({ length: context.eventCount }, (_, index) => context.getEventAt(index).message)
  return [...whileParsing, ...parsed.validateProperties().validationEvents.map((event) => event.message)]
}

const CARDS = [
  ['an ordinary card', A_CARD],
  ['a card of 200 precautions and a very long question', HUGE_CARD],
  ['a card of hostile text', HOSTILE_CARD],
] as const

describe('a card as Teams messages', () => {
  it('is judged by a validator that does find faults', () => {
    const newer = { type: 'AdaptiveCard', version: '1.4', body: [{ type: 'Table' }] }
    expect(faultsOf(newer)).not.toEqual([])
  })

  it.each(CARDS)('has no fault at schema 1.4: %s', (_, card) => {
    for (const message of adaptiveMessages(card)) expect(faultsOf(message.card)).toEqual([])
  })

  it.each(CARDS)('stays under 28 KB a message: %s', (_, card) => {
    for (const message of adaptiveMessages(card)) {
      expect(Buffer.byteLength(JSON.stringify(message.card), 'utf8')).toBeLessThanOrEqual(28 * 1024)
    }
  })

  it('has its actions on the card itself, at most five, each carrying what it does', () => {
    const [root, ...rest] = adaptiveMessages(HUGE_CARD)
    expect(root?.card.actions?.map((action) => action.data)).toEqual(
      HUGE_CARD.choices.map((choice) => ({ soundings: choice.does })),
    )
    expect(rest.filter((message) => message.card.actions !== undefined)).toEqual([])
    expect(stringsUnder(root?.card.body, new Set(['type'])).filter((type) => type.startsWith('Action'))).toEqual([])
  })

  it('spreads more than five choices over further messages', () => {
    const choice = A_CARD.choices[0]
    if (choice === undefined) throw new Error('the card has no choice')
    const messages = adaptiveMessages({ ...A_CARD, choices: Array.from({ length: 7 }, () => choice) })
    expect(messages.map((message) => message.card.actions?.length ?? 0).filter((count) => count > 0)).toEqual([5, 2])
  })

  it('lets no text of a user become formatting, a link or a mention', () => {
    const texts = adaptiveMessages(HOSTILE_CARD).flatMap((message) =>
      stringsUnder(message.card.body, new Set(['text', 'value', 'title'])),
    )
    expect(texts.filter((text) => /[*_~`]|\]\(|<at>|^(?:[-+*>#]|\d+[.)])\s/m.test(text))).toEqual([])
  })
})
