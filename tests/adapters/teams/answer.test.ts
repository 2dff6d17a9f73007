import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { Card } from '../../../src/cards/card.js'
import type { Posting } from '../../../src/desk/ports.js'
import { BOT_ID, buttonPress, CHANNEL, GROUP, ODILE, PERSONAL, ROWAN } from '../../fakes/teams-activities.js'
import { TENANT } from '../../fakes/teams-tokens.js'
import { SHORT_CARD } from '../../tools/chat-cards.js'
import { type Loopback, startHeard } from './loopback.js'

let loopback: Loopback
beforeEach(async () => {
  loopback = await startHeard()
})
afterEach(() => loopback.stop())

const PLACE = { platform: 'teams', workspace: TENANT, channel: CHANNEL } as const
const sender = () => loopback.teams.sender
const standing = () => loopback.connector.standing
const calls = () => loopback.connector.calls

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
