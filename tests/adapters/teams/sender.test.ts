import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { startTeams } from '../../../adapters/teams/start.js'
import type { Posting } from '../../../src/desk/ports.js'
import { CHANNEL, GROUP, PERSONAL } from '../../fakes/teams-activities.js'
import { BOT_TOKEN, type Misbehaviour } from '../../fakes/teams-connector.js'
import { TENANT } from '../../fakes/teams-tokens.js'
import { SHORT_CARD } from '../../tools/chat-cards.js'
import { A_CARD, HOSTILE_CARD, HUGE_CARD } from '../../views/a-card.js'
import { type Loopback, settingsFor, startHeard, startLoopback } from './loopback.js'

let loopback: Loopback
beforeEach(async () => {
  loopback = await startHeard()
})
afterEach(() => loopback.stop())

const PLACE = { platform: 'teams', workspace: TENANT, channel: CHANNEL } as const
const posting = (more: Partial<Posting> = {}): Posting => ({ place: PLACE, card: SHORT_CARD, part: 0, mark: 'm-1', ...more })
const sender = () => loopback.teams.sender
const standing = () => loopback.connector.standing
const calls = () => loopback.connector.calls

async function posted(more: Partial<Posting> = {}): Promise<string> {
  const outcome = await sender().post(posting(more))
  if (outcome.outcome !== 'sent') throw new Error(`${outcome.outcome}: ${outcome.because}`)
  return outcome.message
}

describe('a card', () => {
  it('begins a thread of its own in a channel, with words for those who do not see it', async () => {
    const message = await posted()
    expect(standing()).toMatchObject([
      { id: message, conversation: `${CHANNEL};messageid=${message}`, summary: SHORT_CARD.summary },
    ])
    expect(calls()).toMatchObject([{ method: 'POST', body: { isGroup: true, channelData: { channel: { id: CHANNEL } } } }])
    expect(sender().partsOf(SHORT_CARD)).toBe(2)
  })

  it('is followed by its parts in its thread', async () => {
    const root = await posted()
    await posted({ part: 1, root })
    expect(standing()[1]).toMatchObject({
      conversation: `${CHANNEL};messageid=${root}`,
      summary: expect.stringContaining('Lens'),
    })
  })

  it.each([GROUP, PERSONAL])(
    'stands with its parts in the conversation itself where there are no threads: %s',
    async (channel) => {
      const place = { ...PLACE, channel }
      const root = await posted({ place })
      await posted({ place, part: 1, root })
      expect(standing().map(({ conversation }) => conversation)).toEqual([channel, channel])
    },
  )

  it('asked for in a thread stays in that thread with all its parts', async () => {
    const thread = await posted()
    const place = { ...PLACE, thread }
    const root = await posted({ place })
    await posted({ place, part: 1, root })
    expect(new Set(standing().map(({ conversation }) => conversation))).toEqual(new Set([`${CHANNEL};messageid=${thread}`]))
  })

  it('does not have its parts posted before it stands there itself', async () => {
    expect(await sender().post(posting({ part: 1 }))).toMatchObject({ outcome: 'not-sent' })
    expect(calls()).toEqual([])
  })

  it.each([CHANNEL, GROUP])('is put in place of the earlier one, as often as wanted: %s', async (channel) => {
    const place = { ...PLACE, channel }
    const message = await posted({ place })
    const part = await posted({ place, part: 1, root: message })
    const card = { ...SHORT_CARD, summary: 'Two have answered.' }
    for (let time = 0; time < 2; time++)
      expect(await sender().update(posting({ place, card }), message)).toEqual({ outcome: 'sent', message })
    expect(await sender().update(posting({ place, card, part: 1, root: message }), part)).toEqual({
      outcome: 'sent',
      message: part,
    })
    expect(standing().map(({ summary }) => summary)).toEqual(['Two have answered.', expect.stringContaining('Lens')])
  })

  it('that has become shorter is given no part it does not have', async () => {
    const root = await posted()
    const shorter = posting({ card: { ...SHORT_CARD, sections: [] }, part: 1, root })
    expect(await sender().post(shorter)).toMatchObject({ outcome: 'refused' })
    expect(await sender().update(shorter, root)).toMatchObject({ outcome: 'refused' })
    expect(sender().contentOf?.(shorter.card, 1)).toBe('')
  })

  it('says what each of its messages shows, so that an unchanged one is left alone', () => {
    const changed = { ...SHORT_CARD, summary: 'Two have answered.' }
    expect(sender().contentOf?.(changed, 1)).toBe(sender().contentOf?.(SHORT_CARD, 1))
    expect(sender().contentOf?.(changed, 0)).not.toBe(sender().contentOf?.(SHORT_CARD, 0))
  })

  it.each([
    ['of an ordinary consult', A_CARD],
    ['far longer than one message', HUGE_CARD],
    ['of hostile words', HOSTILE_CARD],
  ])('%s is taken by Teams in all its parts', async (_, card) => {
    const root = await posted({ card })
    for (let part = 1; part < sender().partsOf(card); part++) await posted({ card, part, root })
    expect(standing()).toHaveLength(sender().partsOf(card))
  })

  it('that somebody deleted is refused an update, with the reason', async () => {
    expect(await sender().update(posting(), '1.000001')).toMatchObject({
      outcome: 'refused',
      because: expect.stringContaining('gone'),
    })
  })

  it('in a channel without the bot says to add it', async () => {
    const place = { ...PLACE, channel: '19:elsewhere@thread.tacv2' }
    expect(await sender().post(posting({ place }))).toMatchObject({
      outcome: 'refused',
      because: expect.stringContaining('add the app'),
    })
  })

  it('in a conversation that was never heard of is refused, and nobody is called', async () => {
    const place = { ...PLACE, channel: '19:unheard@thread.tacv2' }
    expect(await sender().post(posting({ place }))).toMatchObject({
      outcome: 'refused',
      because: expect.stringContaining('name it there once'),
    })
    expect(calls()).toEqual([])
  })

  it('never takes the bot’s token to an address that is no longer trusted', async () => {
    await loopback.conversations.put({
      tenant: TENANT,
      id: '19:old@thread.tacv2',
      kind: 'channel',
      serviceUrl: 'http://127.0.0.1:9/',
    })
    const place = { ...PLACE, channel: '19:old@thread.tacv2' }
    expect(await sender().post(posting({ place }))).toMatchObject({
      outcome: 'refused',
      because: expect.stringContaining('trusted'),
    })
  })

  it('of a form that Teams does not take is refused, and its words are not logged', async () => {
    loopback.connector.misbehave({ kind: 'status', status: 400, message: 'BadSyntax +9.0 D' })
    expect(await sender().post(posting())).toEqual({
      outcome: 'refused',
      because: 'Teams does not take the form of this message (400)',
    })
    expect(loopback.logged.join()).not.toContain('+9.0 D')
  })
})

describe('a send that goes wrong is made once and never repeated on its own', () => {
  it.each<[Misbehaviour, object]>([
    [
      { kind: 'status', status: 429, retryAfter: '7' },
      { outcome: 'not-sent', retryAfterMs: 7_000 },
    ],
    [
      { kind: 'status', status: 429 },
      { outcome: 'not-sent', retryAfterMs: 30_000 },
    ],
    [{ kind: 'status', status: 401 }, { outcome: 'not-sent' }],
    [{ kind: 'status', status: 412 }, { outcome: 'unknown' }],
    [{ kind: 'status', status: 500 }, { outcome: 'unknown' }],
    [{ kind: 'status', status: 502 }, { outcome: 'unknown' }],
    [{ kind: 'status', status: 503, retryAfter: '1' }, { outcome: 'unknown' }],
    [{ kind: 'status', status: 504 }, { outcome: 'unknown' }],
    [{ kind: 'status', status: 403 }, { outcome: 'refused' }],
    [{ kind: 'status', status: 404 }, { outcome: 'refused' }],
    [
      { kind: 'status', status: 413 },
      { outcome: 'refused', because: expect.stringContaining('longer') },
    ],
    [{ kind: 'cut' }, { outcome: 'unknown' }],
    [{ kind: 'lost-answer' }, { outcome: 'unknown' }],
    [{ kind: 'body', body: '<html>gateway</html>' }, { outcome: 'unknown' }],
    [{ kind: 'body', body: '' }, { outcome: 'unknown' }],
    [{ kind: 'redirect', to: 'http://127.0.0.1:9/elsewhere' }, { outcome: 'unknown' }],
  ])('%j', async (how, outcome) => {
    loopback.connector.misbehave(how)
    expect(await sender().post(posting())).toMatchObject(outcome)
    expect(calls()).toHaveLength(1)
    expect(standing()).toHaveLength(how.kind === 'lost-answer' ? 1 : 0)
  })

  it('an update as well', async () => {
    const message = await posted()
    loopback.connector.misbehave({ kind: 'status', status: 503 })
    expect(await sender().update(posting(), message)).toMatchObject({ outcome: 'unknown' })
    expect(calls()).toHaveLength(2)
  })

  it('no answer within the time limit: unknown', async () => {
    const hasty = await startLoopback({ timeoutMs: 60, conversations: loopback.conversations })
    await hasty.conversations.put({ tenant: TENANT, id: CHANNEL, kind: 'channel', serviceUrl: hasty.connector.serviceUrl })
    await loopback.conversations.put({ tenant: TENANT, id: CHANNEL, kind: 'channel', serviceUrl: hasty.connector.serviceUrl })
    hasty.connector.misbehave({ kind: 'slow', ms: 200 })
    expect(await hasty.teams.sender.post(posting())).toMatchObject({
      outcome: 'unknown',
      because: expect.stringContaining('timeout'),
    })
    await hasty.stop()
  })

  it('nobody at the other end: not sent', async () => {
    await loopback.connector.stop()
    expect(await sender().post(posting())).toMatchObject({ outcome: 'not-sent' })
  })

  it('no token to speak with: not sent, and Teams is not called', async () => {
    const mute = await startLoopback({
      conversations: loopback.conversations,
      botToken: async () => {
        throw new Error('AADSTS7000215: invalid secret abc')
      },
    })
    await loopback.conversations.put({ tenant: TENANT, id: CHANNEL, kind: 'channel', serviceUrl: mute.connector.serviceUrl })
    const outcome = await mute.teams.sender.post(posting())
    expect(outcome).toMatchObject({ outcome: 'not-sent', because: expect.stringContaining('MicrosoftAppPassword') })
    expect(JSON.stringify(outcome)).not.toContain('AADSTS')
    expect(mute.connector.calls).toEqual([])
    await mute.stop()
  })

  it('Teams lets nothing be read back', async () => {
    expect(await sender().lookFor(posting(), '2026-11-24T10:00:00.000Z')).toBe('cannot-look')
  })
})

describe('after a restart', () => {
  it('a card is updated by a bot that has heard nothing since', async () => {
    const message = await posted()
    await loopback.teams.stop()
    const again = await startTeams(settingsFor(loopback.connector), {
      accept: async () => {},
      receive: (inbound, key) => ({ key, inbound }),
      conversations: loopback.conversations,
      logger: { info: () => {}, warn: () => {}, error: () => {} },
      botToken: async () => BOT_TOKEN,
    })
    const card = { ...SHORT_CARD, summary: 'Two have answered.' }
    expect(await again.sender.update(posting({ card }), message)).toEqual({ outcome: 'sent', message })
    expect(standing()).toMatchObject([{ summary: 'Two have answered.' }])
    await again.stop()
  })
})
