import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { startTeams } from '../../../adapters/teams/start.js'
import type { Card } from '../../../src/cards/card.js'
import type { Posting } from '../../../src/desk/ports.js'
import { BOT_ID, buttonPress, CHANNEL, GROUP, ODILE, PERSONAL, ROWAN } from '../../fakes/teams-activities.js'
import { BOT_TOKEN, type Misbehaviour } from '../../fakes/teams-connector.js'
import { TENANT } from '../../fakes/teams-tokens.js'
import { SHORT_CARD } from '../../tools/chat-cards.js'
import { A_CARD, HOSTILE_CARD, HUGE_CARD } from '../../views/a-card.js'
import { type Loopback, settingsFor, startLoopback } from './loopback.js'

let loopback: Loopback
beforeEach(async () => {
  loopback = await startLoopback()
  const { serviceUrl } = loopback.connector
  for (const [id, kind] of [
    [CHANNEL, 'channel'],
    [GROUP, 'group'],
    [PERSONAL, 'personal'],
    ['19:elsewhere@thread.tacv2', 'channel'],
  ] as const)
    await loopback.conversations.put({ tenant: TENANT, id, kind, serviceUrl })
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

describe('an answer to one person', () => {
  const handle = (more: Record<string, string> = {}) => ({
    tenant: TENANT,
    conversation: CHANNEL,
    kind: 'channel',
    serviceUrl: loopback.connector.serviceUrl,
    user: ROWAN.id,
    thread: '1790000100000',
    ...more,
  })
  const preview: Card = {
    ...SHORT_CARD,
    sections: [],
    choices: [{ label: 'Post', emphasis: 'primary', does: { action: 'post-draft', draftId: 'd1' } }],
  }
  const answer = (reply: Record<string, string>, card = preview, place: Posting['place'] = PLACE) =>
    sender().answer({ kind: 'answer', to: { id: `teams:${TENANT}:${ROWAN.aadObjectId}`, name: ROWAN.name }, place, reply, card })
  const inPersonal = () => handle({ conversation: PERSONAL, kind: 'personal' })

  it('asked in a channel goes to their own chat with the bot, and nobody in the channel sees it', async () => {
    expect(await answer(handle())).toMatchObject({ outcome: 'sent' })
    expect(standing()).toMatchObject([{ conversation: PERSONAL, summary: SHORT_CARD.summary }])
    expect(calls()[0]).toMatchObject({
      body: { isGroup: false, members: [{ id: ROWAN.id }], bot: { id: BOT_ID }, tenantId: TENANT },
    })
  })

  it('asked in a group chat as well', async () => {
    expect(await answer(handle({ conversation: GROUP, kind: 'group' }))).toMatchObject({ outcome: 'sent' })
    expect(standing()).toMatchObject([{ conversation: PERSONAL }])
  })

  it('has buttons that remember where it was asked, and says where to write', async () => {
    await answer(handle(), preview, { ...PLACE, thread: '1790000090000' })
    expect(standing()[0]?.card).toMatchObject({
      actions: [
        { data: { soundings: { action: 'post-draft', draftId: 'd1' }, askedIn: { channel: CHANNEL, thread: '1790000090000' } } },
      ],
    })
    expect(JSON.stringify(standing()[0]?.card)).toContain('This answers what you wrote in a channel or group chat')
  })

  it('asks for the chat once', async () => {
    await answer(handle())
    await answer(handle())
    expect(calls().filter(({ path }) => path.endsWith('/v3/conversations'))).toHaveLength(1)
  })

  it('in the personal chat stays there', async () => {
    const here = { ...PLACE, channel: PERSONAL }
    expect(await answer(inPersonal(), preview, here)).toMatchObject({ outcome: 'sent' })
    expect(standing()).toMatchObject([{ conversation: PERSONAL }])
    expect(JSON.stringify(standing()[0]?.card)).not.toContain('askedIn')
    expect(calls()).toHaveLength(1)
  })

  it('in the personal chat about what belongs elsewhere has buttons that go on acting there', async () => {
    await answer(inPersonal())
    expect(standing()[0]?.card).toMatchObject({ actions: [{ data: { askedIn: { channel: CHANNEL } } }] })
  })

  /** Shows a preview, has its button pressed, and gives what the press left behind. */
  async function pressed(): Promise<Record<string, string>> {
    const shown = await answer(inPersonal())
    const card = shown.outcome === 'sent' ? shown.message : ''
    await loopback.deliver(
      buttonPress({ soundings: { action: 'post-draft', draftId: 'd1' } }, { personal: true, from: ROWAN, card }),
    )
    return { ...loopback.inbox.kept.at(-1)?.inbound.reply }
  }
  const short = (summary: string): Card => ({ ...SHORT_CARD, sections: [], choices: [], summary })

  it('takes the place of a preview that was posted or cancelled; what comes later stands below it, where it is noticed', async () => {
    const reply = await pressed()
    await answer(reply, short('Put to the team as MARSH-7.'))
    await answer(reply, short('MARSH-7 was possibly posted.'))
    expect(standing().map(({ summary }) => summary)).toEqual(['Put to the team as MARSH-7.', 'MARSH-7 was possibly posted.'])
  })

  it('takes the place of the preview also when Teams asked for a pause before', async () => {
    const reply = await pressed()
    loopback.connector.misbehave({ kind: 'status', status: 429 })
    expect(await answer(reply, short('Put to the team.'))).toMatchObject({ outcome: 'not-sent' })
    expect(await answer(reply, short('Put to the team.'))).toMatchObject({ outcome: 'sent' })
    expect(standing()).toMatchObject([{ summary: 'Put to the team.' }])
  })

  it('stands below a preview that is gone, and below one that was pressed before a restart', async () => {
    const reply = await pressed()
    standing().splice(0)
    expect(await answer(reply, short('Put to the team.'))).toMatchObject({ outcome: 'sent' })
    expect(await answer({ ...inPersonal(), replaces: standing()[0]?.id ?? '' }, short('Later.'))).toMatchObject({
      outcome: 'sent',
    })
    expect(standing().map(({ summary }) => summary)).toEqual(['Put to the team.', 'Later.'])
  })

  it.each([
    ['channel', CHANNEL, `${CHANNEL};messageid=1790000100000`],
    ['group', GROUP, GROUP],
  ])(
    'for somebody who has no chat with the bot asks them to open it, and says nothing of the case: %s',
    async (kind, conversation, where) => {
      const outcome = await answer(handle({ user: ODILE.id, kind, conversation }))
      expect(outcome).toMatchObject({ outcome: 'refused', because: expect.stringContaining('told how to open it') })
      expect(standing()).toMatchObject([{ conversation: where, summary: expect.stringContaining('Open a personal chat') }])
      expect(JSON.stringify(standing())).not.toMatch(/9\.0|MARSH|draft/)
    },
  )

  it('that cannot even be asked for is tried again later', async () => {
    loopback.connector.misbehave({ kind: 'cut' })
    expect(await answer(handle())).toMatchObject({ outcome: 'not-sent' })
    expect(await answer(handle())).toMatchObject({ outcome: 'sent' })
  })

  it('that may have arrived is not tried another way', async () => {
    await answer(handle())
    loopback.connector.misbehave({ kind: 'lost-answer' })
    expect(await answer(handle())).toMatchObject({ outcome: 'unknown' })
    expect(standing()).toHaveLength(2)
  })

  it('never goes to an address that is not Teams’', async () => {
    expect(await answer(handle({ serviceUrl: 'http://127.0.0.1:9/steal' }))).toMatchObject({ outcome: 'refused' })
    expect(calls()).toEqual([])
  })

  it('for somebody on another chat is refused', async () => {
    expect(await answer({ channel: 'C0001', user: 'U0001' })).toMatchObject({ outcome: 'refused' })
  })

  it('in several messages comes whole and in order, over a short pause that Teams asks for', async () => {
    await answer(handle(), SHORT_CARD)
    loopback.connector.misbehave({ kind: 'slow', ms: 0 })
    loopback.connector.misbehave({ kind: 'status', status: 429, retryAfter: '2' })
    expect(await answer(handle(), SHORT_CARD)).toMatchObject({ outcome: 'sent' })
    const two = [SHORT_CARD.summary, expect.stringContaining('Lens')]
    expect(standing().map(({ summary }) => summary)).toEqual([...two, ...two])
  })

  it('whose second message is lost says that part of it arrived', async () => {
    loopback.connector.misbehave({ kind: 'slow', ms: 0 })
    loopback.connector.misbehave({ kind: 'status', status: 503 })
    expect(await answer(inPersonal(), SHORT_CARD)).toMatchObject({
      outcome: 'unknown',
      because: expect.stringContaining('part 1 of 2 arrived'),
    })
  })
})
