import { describe, expect, it } from 'vitest'
import { consultCard } from '../../src/cards/consult-card.js'
import { actionId, slackMessages } from '../../src/views/slack-blocks.js'
import { A_CARD, CONSULT, HOSTILE_CARD, HUGE_CARD } from './a-card.js'
import { stringsUnder } from './shown-text.js'
import { slackBlocksSchema } from './slack-block-schemas.js'

const CARDS = [
  ['an ordinary card', A_CARD],
  ['a card of 200 precautions and a very long question', HUGE_CARD],
  ['a card of hostile text', HOSTILE_CARD],
] as const

describe('a card as Slack messages', () => {
  it.each(CARDS)('keeps to what Slack takes: %s', (_, card) => {
    for (const message of slackMessages(card)) {
      expect(slackBlocksSchema.safeParse(message.blocks).error?.issues ?? []).toEqual([])
      expect(JSON.stringify(message.blocks).length).toBeLessThanOrEqual(12_000)
      expect(message.text.length).toBeLessThanOrEqual(4000)
    }
  })

  it('has the buttons in the first message, each saying what it does', () => {
    const [root, ...rest] = slackMessages(HUGE_CARD)
    const rows = (root?.blocks ?? []).filter((block) => block.type === 'actions')
    const values = rows.flatMap((row) => row.elements.flatMap((element) => ('value' in element ? [element.value] : [])))
    expect(values.map((value) => JSON.parse(value ?? ''))).toEqual(HUGE_CARD.choices.map((choice) => choice.does))
    expect(rest.flatMap((message) => message.blocks).filter((block) => block.type === 'actions')).toEqual([])
  })

  it('says in a sentence what the first message is', () => {
    expect(slackMessages(A_CARD)[0]?.text).toBe(A_CARD.summary)
    expect(A_CARD.summary).toBe('Left eye (OS) · MARSH-7: lens +9.0 D for −1.75 D, 6 critical cautions. Your opinion is asked.')
  })

  it('gives new block ids when the card has changed and the same ones when it has not', () => {
    const ids = (opinions: typeof CONSULT.opinions) =>
      slackMessages(consultCard({ ...CONSULT, opinions })).flatMap((message) => message.blocks.map((block) => block.block_id))
    expect(ids(CONSULT.opinions)).toEqual(ids(CONSULT.opinions))
    const before = new Set(ids(CONSULT.opinions))
    expect(ids([]).filter((id) => before.has(id))).toEqual([])
  })

  it('lets no text of a user become a mention, a link or formatting', () => {
    for (const message of slackMessages(HOSTILE_CARD)) {
      expect(stringsUnder(message.blocks, new Set(['type'])).filter((type) => type === 'mrkdwn')).toEqual([])
      const texts = stringsUnder(message.blocks, new Set(['text']))
      expect(texts.filter((text) => /<[!@#]|<at>|@(channel|here|everyone)/.test(text))).toEqual([])
      expect(message.text).not.toMatch(/[<>*_~`]/)
    }
  })

  it('shows an uploaded picture with its numbers as the alternative', () => {
    const blocks = slackMessages(A_CARD, { pictureFileId: 'F0123456789' }).flatMap((message) => message.blocks)
    const image = blocks.find((block) => block.type === 'image')
    expect(image).toMatchObject({ slack_file: { id: 'F0123456789' }, alt_text: expect.stringContaining('29.60 mm') })
  })

  it('names each button once within a card', () => {
    const ids = A_CARD.choices.map((choice) => actionId(choice.does))
    expect(new Set(ids).size).toBe(5)
  })
})
