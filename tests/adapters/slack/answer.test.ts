import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { Card } from '../../../src/cards/card.js'
import { noteCard } from '../../../src/cards/short-cards.js'
import { BOT } from '../../fakes/slack-api.js'
import { type Loopback, startLoopback } from './loopback.js'

let loopback: Loopback
beforeEach(async () => {
  loopback = await startLoopback()
})
afterEach(() => loopback.stop())

const NOTE = noteCard('Put to the team as MARSH-7')
const TWO_MESSAGES: Card = {
  ...NOTE,
  sections: [{ id: 'lens', title: 'Lens', blocks: [{ kind: 'line', text: 'by formula', weight: 'plain' }] }],
}
const PLACE = { platform: 'slack', workspace: BOT.team, channel: 'C0001' } as const
const sender = () => loopback.slack.sender

describe('an answer to one person', () => {
  const answer = (reply: Record<string, string>) =>
    sender().answer({
      kind: 'answer',
      to: { id: 'slack:T0001:U0001', name: 'Rowan Vale' },
      place: PLACE,
      reply,
      card: NOTE,
    })

  it('goes by the delivery’s own address, to nobody else', async () => {
    expect(await answer({ channel: 'C0001', user: 'U0001', responseUrl: loopback.api.responseUrl() })).toMatchObject({
      outcome: 'sent',
    })
    expect(loopback.api.ephemeral).toMatchObject([{ by: 'response_url', text: NOTE.summary, replaceOriginal: false }])
    expect(loopback.api.posted).toEqual([])
  })

  it('takes the place of a preview that was posted or cancelled', async () => {
    await answer({ channel: 'C0001', user: 'U0001', responseUrl: loopback.api.responseUrl(), replaces: 'preview' })
    expect(loopback.api.ephemeral).toMatchObject([{ replaceOriginal: true }])
  })

  it('goes as a message only they see when the address has expired', async () => {
    expect(
      await answer({ channel: 'C0001', user: 'U0001', responseUrl: `${loopback.api.url.replace('/api/', '')}/response/gone` }),
    ).toMatchObject({
      outcome: 'sent',
    })
    expect(loopback.api.ephemeral).toMatchObject([{ by: 'chat.postEphemeral', user: 'U0001', channel: 'C0001' }])
  })

  it('in a direct message is a plain message, which a reload does not lose', async () => {
    await answer({ channel: 'D0001', user: 'U0001', responseUrl: loopback.api.responseUrl() })
    expect(loopback.api.posted).toMatchObject([{ channel: 'D0001', text: NOTE.summary }])
    expect(loopback.api.ephemeral).toEqual([])
  })

  it('reaches a person where the bot is not in the channel by direct message', async () => {
    await answer({ channel: 'C0009', user: 'U0001' })
    expect(loopback.api.posted).toMatchObject([{ channel: 'D0001' }])
  })

  it('never goes to an address that is not Slack’s', async () => {
    await answer({ channel: 'C0001', user: 'U0001', responseUrl: 'http://127.0.0.1:9/steal' })
    expect(loopback.api.ephemeral).toMatchObject([{ by: 'chat.postEphemeral' }])
  })

  it('rests as long as Slack asks for', async () => {
    for (const [stated, ms] of [
      [{ retryAfter: 7 }, 7_000],
      [{}, 30_000],
    ] as const) {
      loopback.api.misbehave('response_url', { kind: 'rate-limit', ...stated })
      expect(await answer({ channel: 'C0001', user: 'U0001', responseUrl: loopback.api.responseUrl() })).toMatchObject({
        outcome: 'not-sent',
        retryAfterMs: ms,
      })
    }
  })

  it('that may have arrived is not tried another way', async () => {
    loopback.api.misbehave('response_url', { kind: 'cut' })
    expect(await answer({ channel: 'C0001', user: 'U0001', responseUrl: loopback.api.responseUrl() })).toMatchObject({
      outcome: 'unknown',
    })
    expect(loopback.api.ephemeral).toEqual([])
  })

  it('for somebody on another chat is refused', async () => {
    expect(await answer({ conversation: '19:abc' })).toMatchObject({ outcome: 'refused' })
  })

  it('in several messages comes whole and in order', async () => {
    const reply = { channel: 'C0001', user: 'U0001' }
    await sender().answer({ kind: 'answer', to: { id: '', name: '' }, place: PLACE, reply, card: TWO_MESSAGES })
    expect(loopback.api.ephemeral.map((one) => one.text)).toEqual([NOTE.summary, expect.stringContaining('part 2 of 2: Lens')])
  })

  it('whose second message is lost says that part of it arrived', async () => {
    loopback.api.misbehave('chat.postEphemeral', { kind: 'slow', ms: 0 })
    loopback.api.misbehave('chat.postEphemeral', { kind: 'status', status: 503 })
    const reply = { channel: 'C0001', user: 'U0001' }
    expect(
      await sender().answer({ kind: 'answer', to: { id: '', name: '' }, place: PLACE, reply, card: TWO_MESSAGES }),
    ).toMatchObject({
      outcome: 'unknown',
      because: expect.stringContaining('part 1 of 2 arrived'),
    })
  })
})
