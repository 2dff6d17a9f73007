import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { Posting } from '../../../src/desk/ports.js'
import { BOT } from '../../fakes/slack-api.js'
import { SHORT_CARD } from '../../tools/chat-cards.js'
import { A_CARD, HOSTILE_CARD, HUGE_CARD } from '../../views/a-card.js'
import { type Loopback, startLoopback } from './loopback.js'

let loopback: Loopback
beforeEach(async () => {
  loopback = await startLoopback()
})
afterEach(() => loopback.stop())

const PLACE = { platform: 'slack', workspace: BOT.team, channel: 'C0001' } as const
const posting = (more: Partial<Posting> = {}): Posting => ({ place: PLACE, card: SHORT_CARD, part: 0, mark: 'm-1', ...more })
const sender = () => loopback.slack.sender
const posts = () => loopback.api.calls.filter((one) => one.method === 'chat.postMessage').length
// the loopback workspace stamps its messages with the time of day, as the real one does
const SINCE = new Date().toISOString()

describe('a card', () => {
  it('is posted once, with words for those who do not see it, buttons, and an opaque mark', async () => {
    const outcome = await sender().post(posting())
    expect(loopback.api.posted).toMatchObject([
      {
        channel: 'C0001',
        text: SHORT_CARD.summary,
        metadata: { event_type: 'soundings_posting', event_payload: { mark: 'm-1' } },
      },
    ])
    expect(outcome).toEqual({ outcome: 'sent', message: loopback.api.posted[0]?.ts })
    expect(sender().partsOf(SHORT_CARD)).toBe(2)
  })

  it('is followed by its parts in its thread', async () => {
    const root = await sender().post(posting())
    if (root.outcome !== 'sent') throw new Error(root.outcome)
    await sender().post(posting({ part: 1, root: root.message, mark: 'm-2' }))
    expect(loopback.api.posted[1]).toMatchObject({ thread_ts: root.message, text: expect.stringContaining('Lens') })
  })

  it('does not have its parts posted before it stands there itself', async () => {
    expect(await sender().post(posting({ part: 1 }))).toMatchObject({ outcome: 'not-sent' })
    expect(posts()).toBe(0)
  })

  it('asked for in a thread stays in that thread with all its parts', async () => {
    const begun = await sender().post(posting({ mark: 'begun' }))
    const thread = begun.outcome === 'sent' ? begun.message : ''
    const root = await sender().post(posting({ place: { ...PLACE, thread } }))
    if (root.outcome !== 'sent') throw new Error(root.outcome)
    const part = await sender().post(posting({ place: { ...PLACE, thread }, part: 1, root: root.message }))
    expect(part.outcome).toBe('sent')
    expect(loopback.api.posted.slice(1).map((one) => one.thread_ts)).toEqual([thread, thread])
  })

  it('is put in place of the earlier one, as often as wanted', async () => {
    const root = await sender().post(posting())
    const message = root.outcome === 'sent' ? root.message : ''
    const card = { ...SHORT_CARD, summary: 'Two have answered.' }
    expect(await sender().update(posting({ card }), message)).toEqual({ outcome: 'sent', message })
    expect(await sender().update(posting({ card }), message)).toEqual({ outcome: 'sent', message })
    expect(loopback.api.posted).toMatchObject([{ text: 'Two have answered.' }])
  })

  it('that has become shorter is not asked for a part it no longer has', async () => {
    const part = await sender().post(posting())
    const message = part.outcome === 'sent' ? part.message : ''
    const shorter = posting({ card: { ...SHORT_CARD, sections: [] }, part: 1, root: message })
    expect(await sender().update(shorter, message)).toMatchObject({ outcome: 'refused' })
    expect(await sender().post(shorter)).toMatchObject({ outcome: 'refused' })
  })

  it.each([
    ['of an ordinary consult', A_CARD],
    ['far longer than one message', HUGE_CARD],
    ['of hostile words', HOSTILE_CARD],
  ])('%s is taken by Slack in all its parts', async (_, card) => {
    const root = await sender().post(posting({ card }))
    if (root.outcome !== 'sent') throw new Error(root.because)
    for (let part = 1; part < sender().partsOf(card); part++) {
      expect(await sender().post(posting({ card, part, root: root.message, mark: `m-${part}` }))).toMatchObject({
        outcome: 'sent',
      })
    }
    expect(loopback.api.posted).toHaveLength(sender().partsOf(card))
    expect(new Set(loopback.api.posted.slice(1).map((one) => one.thread_ts))).toEqual(new Set([root.message]))
    // a bare mark-up mention in the notification text would wake a whole channel
    expect(loopback.api.posted.map((one) => one.text).join()).not.toMatch(/<!|<@/)
  })

  it('of which only the opinions changed has the same content in its other parts', () => {
    const { contentOf } = sender()
    const changed = {
      ...SHORT_CARD,
      first: [...SHORT_CARD.first, { kind: 'line', text: 'Odile Finch: agree', weight: 'plain' }],
    } as const
    expect(contentOf?.(changed, 1)).toBe(contentOf?.(SHORT_CARD, 1))
    expect(contentOf?.(changed, 0)).not.toBe(contentOf?.(SHORT_CARD, 0))
  })

  it('that somebody deleted is refused an update, with the reason', async () => {
    expect(await sender().update(posting(), '1.000001')).toEqual({
      outcome: 'refused',
      because: 'the message is gone: somebody deleted it',
    })
  })

  it('in a channel without the bot says to invite it', async () => {
    const elsewhere = posting({ place: { ...PLACE, channel: 'C0009' } })
    expect(await sender().post(elsewhere)).toMatchObject({
      outcome: 'refused',
      because: expect.stringContaining('invite the bot'),
    })
  })

  it('of a form that Slack does not take is refused, and its words are not logged', async () => {
    const [choice] = SHORT_CARD.choices
    const card = {
      ...SHORT_CARD,
      choices: choice === undefined ? [] : [{ ...choice, label: 'longer than any button may be '.repeat(3) }],
    }
    expect(await sender().post(posting({ card }))).toMatchObject({ outcome: 'refused', because: expect.stringContaining('form') })
    expect(loopback.logged.join()).not.toContain('+9.0 D')
  })
})

describe('a send that goes wrong is never repeated on its own', () => {
  it('429: not sent, with the time to wait', async () => {
    loopback.api.misbehave('chat.postMessage', { kind: 'rate-limit', retryAfter: 3 })
    expect(await sender().post(posting())).toMatchObject({ outcome: 'not-sent', retryAfterMs: 3_000 })
    expect(posts()).toBe(0)
  })

  it('after 429 the channel rests: the next message is given back at once, with the time left', async () => {
    loopback.api.misbehave('chat.postMessage', { kind: 'rate-limit', retryAfter: 30 })
    await sender().post(posting())
    const next = await sender().post(posting())
    expect(next).toMatchObject({ outcome: 'not-sent' })
    expect(next.outcome === 'not-sent' && next.retryAfterMs > 25_000 && next.retryAfterMs <= 30_000).toBe(true)
    expect((await sender().post(posting({ place: { ...PLACE, channel: 'D0001' } }))).outcome).toBe('sent')
  })

  it('429 without a time: not sent', async () => {
    loopback.api.misbehave('chat.postMessage', { kind: 'rate-limit' })
    expect(await sender().post(posting())).toMatchObject({ outcome: 'not-sent' })
  })

  it('an answer lost on the way: unknown, and then found by its mark', async () => {
    loopback.api.misbehave('chat.postMessage', { kind: 'lost-answer' })
    expect(await sender().post(posting())).toMatchObject({ outcome: 'unknown' })
    expect(loopback.api.posted).toHaveLength(1)
    expect(await sender().lookFor(posting(), SINCE)).toEqual({ found: loopback.api.posted[0]?.ts })
  })

  it('a connection cut before anything was done: unknown too, and then not found', async () => {
    loopback.api.misbehave('chat.postMessage', { kind: 'cut' })
    expect(await sender().post(posting())).toMatchObject({ outcome: 'unknown' })
    expect(await sender().lookFor(posting(), SINCE)).toBe('not-found')
  })

  it('no answer within the time limit: unknown', async () => {
    loopback.api.misbehave('chat.postMessage', { kind: 'slow', ms: 1_300 })
    expect(await sender().post(posting())).toMatchObject({ outcome: 'unknown', because: expect.stringContaining('timeout') })
  })

  it.each([
    [{ kind: 'status', status: 503 } as const],
    [{ kind: 'error', error: 'internal_error' } as const],
    [{ kind: 'body', body: '<html>gateway</html>' } as const],
  ])('%j: unknown', async (how) => {
    loopback.api.misbehave('chat.postMessage', how)
    expect(await sender().post(posting())).toMatchObject({ outcome: 'unknown' })
    expect(posts()).toBeLessThanOrEqual(1)
  })

  it('nobody at the other end: not sent', async () => {
    await loopback.api.stop()
    expect(await sender().post(posting())).toMatchObject({ outcome: 'not-sent' })
  })
})

describe('looking for an earlier posting', () => {
  it('in a thread reads the thread', async () => {
    const root = await sender().post(posting())
    const part = posting({ part: 1, root: root.outcome === 'sent' ? root.message : '', mark: 'm-2' })
    await sender().post(part)
    expect(await sender().lookFor(part, SINCE)).toEqual({ found: loopback.api.posted[1]?.ts })
  })

  it('does not take another mark for it', async () => {
    await sender().post(posting({ mark: 'another' }))
    expect(await sender().lookFor(posting(), SINCE)).toBe('not-found')
  })

  it('does not take another app’s message for it, whatever mark that carries', async () => {
    await sender().post(posting())
    const [mine] = loopback.api.posted
    if (mine !== undefined) loopback.api.posted.splice(0, 1, { ...mine, bot_id: 'BOTHER01' })
    expect(await sender().lookFor(posting(), SINCE)).toBe('not-found')
  })

  it('starts five seconds before the send', async () => {
    await sender().lookFor(posting(), '2026-11-24T10:00:05.500Z')
    const look = loopback.api.calls.find((one) => one.method === 'conversations.history')
    expect(look?.fields).toMatchObject({
      oldest: (Date.parse('2026-11-24T10:00:00.500Z') / 1000).toFixed(6),
      include_all_metadata: 'true',
    })
  })

  it('where the bot is not let in cannot look', async () => {
    expect(await sender().lookFor(posting({ place: { ...PLACE, channel: 'C0009' } }), SINCE)).toBe('cannot-look')
  })

  it('while Slack cannot be reached tells nothing, and throws', async () => {
    loopback.api.misbehave('conversations.history', { kind: 'cut' })
    await expect(sender().lookFor(posting(), SINCE)).rejects.toThrow()
  })
})
