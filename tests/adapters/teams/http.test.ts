import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest'
import { MOST_BODY_BYTES } from '../../../adapters/teams/request-gate.js'
import {
  botAdded,
  buttonPress,
  CHANNEL,
  channelMessage,
  deliver,
  groupMessage,
  PERSONAL,
  personalMessage,
  ROWAN,
} from '../../fakes/teams-activities.js'
import { channelToken, KEYS, TENANT, type TokenOptions } from '../../fakes/teams-tokens.js'
import { held } from '../../tools/delivery-inbox.js'
import { type Loopback, startLoopback } from './loopback.js'

let loopback: Loopback
beforeEach(async () => {
  loopback = await startLoopback()
})
afterEach(() => loopback.stop())

// the library writes what it thinks of bad tokens on the standard error
beforeAll(() => void vi.spyOn(console, 'error').mockImplementation(() => {}))
afterAll(() => void vi.restoreAllMocks())

const here = (activity: object) => ({ ...activity, serviceUrl: loopback.connector.serviceUrl })
const MENTION = channelMessage('LE 58M, AL 29.60')
const OPINION = { soundings: { action: 'give-opinion', ref: 'MARSH-7', revision: 1, opinion: 'agree' } }

async function turnedAway(status: number, body: unknown, token: string | undefined): Promise<void> {
  const response = await deliver(loopback.url, body, token === undefined ? {} : { token })
  expect({ status: response.status, said: await response.text() }).toEqual({ status, said: '' })
  expect(loopback.inbox.kept).toEqual([])
  expect(loopback.connector.calls).toEqual([])
}

describe('a request', () => {
  it('with a good token is taken', async () => {
    expect((await loopback.deliver(MENTION)).status).toBe(200)
    expect(loopback.inbox.kept).toHaveLength(1)
  })

  it.each<[string, TokenOptions]>([
    ['for another bot', { audience: '99999999-2222-4333-8444-555555555555' }],
    ['signed with a key that only claims to be the channel’s', { key: KEYS.stolenName }],
    ['signed with a key that nobody published', { key: KEYS.unpublished }],
    ['signed with a key that may not speak for Teams', { key: KEYS.forAnother }],
    ['of an hour ago', { expiresIn: -3_600 }],
    ['that never ends', { expiresIn: null }],
    ['of another issuer', { issuer: 'https://sts.windows.net/d6d49420-f39b-4df7-a1dc-d59a935871db/' }],
    ['for another service address', { claims: { serviceurl: 'https://smba.trafficmanager.net/emea/' } }],
    ['without a service address', { claims: { serviceurl: undefined } }],
    ['that is not valid yet', { claims: { nbf: Math.floor(Date.now() / 1000) + 3_600 } }],
  ])('with a token %s is refused without a word, and nothing is kept', async (_, options) => {
    await turnedAway(401, here(MENTION), channelToken(loopback.connector.serviceUrl, options))
  })

  it('without a token, or with something else for one, is refused', async () => {
    await turnedAway(401, here(MENTION), undefined)
    await turnedAway(401, here(MENTION), 'a.b.c')
    await turnedAway(401, here(MENTION), 'x y')
    const unsigned = channelToken(loopback.connector.serviceUrl).split('.').slice(0, 2).join('.')
    await turnedAway(401, here(MENTION), `${unsigned}.`)
  })

  it.each<[string, object]>([
    ['without a service address', { serviceUrl: undefined }],
    ['whose kind is not a word', { type: 42 }],
    ['whose kind is an object', { type: { $ne: 1 } }],
    ['without an id', { id: undefined }],
    ['from another channel than Teams', { channelId: 'emulator' }],
    ['without a channel', { channelId: undefined }],
    ['from nobody', { from: undefined }],
    ['without a conversation', { conversation: null }],
  ])('%s is refused', async (_, broken) => {
    await turnedAway(400, { ...here(MENTION), ...broken }, channelToken(loopback.connector.serviceUrl))
  })

  it.each(['', '[]', 'null', '"x"', '{', '{"type":"message"'])('of %j is refused', async (body) => {
    await turnedAway(400, body, channelToken(loopback.connector.serviceUrl))
  })

  it.each<[string, object]>([
    ['of another tenant', { channelData: { tenant: { id: 'another' } } }],
    ['of a conversation in another tenant', { conversation: { ...MENTION.conversation, tenantId: 'another' } }],
    ['of no tenant', { channelData: {}, conversation: { id: CHANNEL, conversationType: 'channel' } }],
  ])('%s is refused', async (_, other) => {
    await turnedAway(403, { ...here(MENTION), ...other }, channelToken(loopback.connector.serviceUrl))
  })

  it.each([
    'https://smba.trafficmanager.net.example/emea/',
    'https://smba.trafficmanager.net@example.org/',
    'http://smba.trafficmanager.net/emea/',
    'https://api.botframework.com/',
  ])('that wants the bot’s token sent to %s is refused', async (serviceUrl) => {
    await turnedAway(403, { ...MENTION, serviceUrl }, channelToken(serviceUrl))
  })

  it('over the limit is refused before it is read to the end', async () => {
    const long = JSON.stringify(here(channelMessage('A'.repeat(MOST_BODY_BYTES))))
    const token = channelToken(loopback.connector.serviceUrl)
    const outcome = await deliver(loopback.url, long, { token })
      .then(({ status }) => status)
      .catch(() => 'cut')
    expect([413, 'cut']).toContain(outcome)
    expect(loopback.inbox.kept).toEqual([])
  })

  it('to look at the address with a browser is told that only POST is served', async () => {
    const response = await fetch(loopback.url)
    expect(response.status).toBe(405)
    expect(response.headers.get('allow')).toBe('POST')
  })

  it('is refused for now while the channel’s keys cannot be fetched, so that Teams tries again', async () => {
    await loopback.connector.stop()
    const { status } = await deliver(loopback.url, here(MENTION), { token: channelToken(loopback.connector.serviceUrl) })
    expect(status).toBe(503)
  })
})

describe('a delivery', () => {
  it.each([
    ['a mention in a channel', MENTION],
    ['a message in a group chat', groupMessage('LE 58M')],
    ['a message in the personal chat', personalMessage('LE 58M')],
    ['a button', buttonPress(OPINION)],
  ])('of %s is kept before Teams is answered', async (_, activity) => {
    const { reached, letIn } = held(loopback.inbox)
    let answered = false
    const response = loopback.deliver(activity).then((one) => {
      answered = true
      return one
    })
    await reached
    await new Promise((resolve) => setTimeout(resolve, 20))
    expect(answered).toBe(false)
    letIn()
    expect((await response).status).toBe(200)
    expect(loopback.inbox.kept).toHaveLength(1)
  })

  it('that cannot be kept is answered with a bare 500, and is kept when Teams repeats it', async () => {
    loopback.inbox.before = () => {
      throw new Error('disk full: LE 58M')
    }
    const refused = await loopback.deliver(MENTION)
    expect({ status: refused.status, said: await refused.text() }).toEqual({ status: 500, said: '' })
    expect(loopback.logged.join()).toContain('not stored')
    expect(loopback.logged.join()).not.toContain('58M')
    loopback.inbox.before = () => {}
    expect((await loopback.deliver(MENTION)).status).toBe(200)
    expect(loopback.inbox.kept).toHaveLength(1)
  })

  it('whose conversation cannot be kept is not taken either: it could not be answered', async () => {
    loopback.conversations.put = async () => {
      throw new Error('disk full')
    }
    expect((await loopback.deliver(MENTION)).status).toBe(500)
    expect(loopback.inbox.kept).toEqual([])
  })

  it('repeated after a crash between keeping and answering is kept once', async () => {
    for (let time = 0; time < 3; time++) expect((await loopback.deliver(MENTION)).status).toBe(200)
    for (let time = 0; time < 2; time++) expect((await loopback.deliver(buttonPress(OPINION))).status).toBe(200)
    expect(loopback.inbox.kept).toHaveLength(2)
  })

  it('writes where its conversation is once, and again when the address moves', async () => {
    await loopback.deliver(MENTION)
    await loopback.deliver(channelMessage('help', { id: '1790000101000' }))
    expect(loopback.conversations.puts).toBe(1)
    expect([...loopback.conversations.kept.values()]).toEqual([
      { tenant: TENANT, id: CHANNEL, kind: 'channel', serviceUrl: loopback.connector.serviceUrl },
    ])
    const moved = loopback.connector.serviceUrl.replace('/teams/', '/teams/emea/')
    await deliver(
      loopback.url,
      { ...channelMessage('help', { id: '1790000102000' }), serviceUrl: moved },
      { token: channelToken(moved) },
    )
    expect([...loopback.conversations.kept.values()]).toMatchObject([{ serviceUrl: moved }])
  })

  it('of a channel’s everyday talk is answered and not kept', async () => {
    expect((await loopback.deliver(channelMessage('good morning', { mention: false }))).status).toBe(200)
    expect(loopback.inbox.kept).toEqual([])
    expect(loopback.logged).toEqual([])
  })

  it('of hostile text is taken, and is never logged', async () => {
    const hostile = `<at>Soundings</at> ${'<'.repeat(20_000)}${'&#'.repeat(20_000)} \u0000\u202e {{7*7}} '; drop table inbox; --`
    expect((await loopback.deliver(personalMessage(hostile))).status).toBe(200)
    expect((await loopback.deliver(personalMessage('', { id: '2', content: `<blockquote ${hostile}` }))).status).toBe(200)
    expect(loopback.inbox.kept[0]?.inbound).toMatchObject({ text: expect.stringContaining('drop table inbox') })
    expect(loopback.logged.join()).not.toContain('drop table')
  })

  it('of something invoked, which is not offered, is told so', async () => {
    const invoke = { ...MENTION, type: 'invoke', name: 'adaptiveCard/action', value: {} }
    expect((await loopback.deliver(invoke)).status).toBe(501)
    expect(loopback.inbox.kept).toEqual([])
  })

  it('of a button that is no longer known gets an answer that says so', async () => {
    expect((await loopback.deliver(buttonPress({ soundings: 'old' }, { personal: true, from: ROWAN }))).status).toBe(200)
    loopback.connector.chats.set(ROWAN.id, PERSONAL)
    await loopback.teams.stop()
    expect(loopback.inbox.kept).toEqual([])
    expect(loopback.connector.standing).toMatchObject([{ summary: expect.stringContaining('no longer works') }])
  })

  it('is still taken in while one is under way at the end, and none after', async () => {
    loopback.inbox.before = () => new Promise((resolve) => setTimeout(resolve, 100))
    const under = loopback.deliver(MENTION)
    await vi.waitFor(() => expect(loopback.conversations.puts).toBe(1))
    await loopback.teams.stop()
    expect((await under).status).toBe(200)
    expect(loopback.inbox.kept).toHaveLength(1)
    expect((await loopback.deliver(personalMessage('help'))).status).toBe(503)
  })
})

describe('a bot that is added', () => {
  it('to a team says once what it is for, in a thread of its own', async () => {
    for (let time = 0; time < 2; time++) expect((await loopback.deliver(botAdded('team', { id: `f:${time}` }))).status).toBe(200)
    await loopback.teams.stop()
    expect(loopback.connector.standing).toMatchObject([{ summary: expect.stringContaining('Soundings is here') }])
    expect(loopback.inbox.kept).toEqual([])
  })

  it('by a person says it in their chat', async () => {
    await loopback.deliver(botAdded('personal'))
    await loopback.teams.stop()
    expect(loopback.connector.standing).toMatchObject([{ conversation: PERSONAL }])
  })

  it('says nothing when somebody else joins', async () => {
    await loopback.deliver({ ...botAdded('team'), membersAdded: [ROWAN] })
    await loopback.teams.stop()
    expect(loopback.connector.calls).toEqual([])
  })
})

describe('a reply in a thread of a channel', () => {
  it('is kept if a consult hangs there, and not otherwise', async () => {
    const asked: unknown[] = []
    const choosy = await startLoopback({
      holdsConsult: (place) => {
        asked.push(place)
        return place.thread === '1790000000000'
      },
    })
    await choosy.deliver(channelMessage('agree', { mention: false, root: '1790000000000', id: '1790000110000' }))
    await choosy.deliver(channelMessage('lunch?', { mention: false, root: '1790000001000', id: '1790000120000' }))
    await choosy.deliver(channelMessage('help', { root: '1790000001000', id: '1790000130000' }))
    expect(choosy.inbox.kept.map(({ inbound }) => inbound.kind === 'text' && inbound.text)).toEqual(['agree', 'help'])
    expect(asked).toHaveLength(2)
    await choosy.stop()
  })
})
