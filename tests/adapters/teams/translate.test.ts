import { describe, expect, it } from 'vitest'
import { activityEnvelope } from '../../../adapters/teams/payloads.js'
import { translate } from '../../../adapters/teams/translate.js'
import {
  botAdded,
  buttonPress,
  CHANNEL,
  channelMessage,
  GROUP,
  groupMessage,
  ODILE,
  PERSONAL,
  personalMessage,
  ROWAN,
} from '../../fakes/teams-activities.js'
import { TENANT } from '../../fakes/teams-tokens.js'

const SERVICE = 'https://smba.trafficmanager.net/emea/'
const read = (body: unknown) => translate(body, activityEnvelope.parse(body), TENANT)
const delivered = (body: unknown) => {
  const said = read(body)
  if (said.kind !== 'delivery') throw new Error(`expected a delivery, got ${JSON.stringify(said)}`)
  return said
}

describe('a message', () => {
  it('that names the bot in a channel is addressed, and begins no thread by itself', () => {
    const { inbound, key, conversation } = delivered(channelMessage('LE AL 29.60'))
    expect(key).toBe(`teams:${CHANNEL}:1790000100000`)
    expect(inbound).toMatchObject({
      kind: 'text',
      text: 'LE AL 29.60',
      addressed: true,
      hasPicture: false,
      by: { id: `teams:${TENANT}:${ROWAN.aadObjectId}`, name: 'Rowan Vale' },
    })
    expect(inbound.place).toEqual({ platform: 'teams', workspace: TENANT, channel: CHANNEL })
    expect(conversation).toEqual({ tenant: TENANT, id: CHANNEL, kind: 'channel', serviceUrl: SERVICE })
  })

  it('remembers all that answering it needs', () => {
    expect(delivered(channelMessage('help')).inbound.reply).toEqual({
      tenant: TENANT,
      conversation: CHANNEL,
      kind: 'channel',
      serviceUrl: SERVICE,
      user: ROWAN.id,
      thread: '1790000100000',
    })
    expect(delivered(personalMessage('help')).inbound.reply).toEqual({
      tenant: TENANT,
      conversation: PERSONAL,
      kind: 'personal',
      serviceUrl: SERVICE,
      user: ROWAN.id,
    })
  })

  it('is a delivery even when it only names the bot: that deserves an answer too', () => {
    expect(delivered(channelMessage('')).inbound).toMatchObject({ text: '', addressed: true })
  })

  it('in the personal chat needs no name', () => {
    expect(delivered(personalMessage('LE AL 29.60'))).toMatchObject({
      inbound: { addressed: true, place: { channel: PERSONAL } },
    })
  })

  it('in a group chat is read where it names the bot', () => {
    expect(delivered(groupMessage('LE AL 29.60')).inbound).toMatchObject({ text: 'LE AL 29.60', place: { channel: GROUP } })
    expect(read({ ...groupMessage('hello'), entities: [] }).kind).toBe('nothing')
  })

  it('that quotes another in a group chat answers in its thread, as it were', () => {
    const content = '<blockquote itemtype="http://schema.skype.com/Reply" itemid="1790000050000">x</blockquote><p>agree</p>'
    const quoting = { ...groupMessage('x'), attachments: [{ contentType: 'text/html', content }] }
    expect(delivered(quoting).inbound).toMatchObject({ text: 'agree', place: { channel: GROUP, thread: '1790000050000' } })
  })

  it('in a thread of a channel is overheard, with its thread', () => {
    const { inbound, strangersThread } = delivered(channelMessage('agree', { mention: false, root: '1790000000000' }))
    expect(inbound).toMatchObject({ addressed: false, place: { channel: CHANNEL, thread: '1790000000000' } })
    expect(strangersThread).toBe(true)
    expect(delivered(channelMessage('help', { root: '1790000000000' })).strangersThread).toBe(false)
  })

  it('in a channel, neither addressed nor in a thread, is not read at all', () => {
    expect(read(channelMessage('good morning', { mention: false })).kind).toBe('nothing')
  })

  it('that names somebody else is not addressed', () => {
    const entities = [{ type: 'mention', mentioned: { id: ODILE.id, name: ODILE.name }, text: '<at>Odile Finch</at>' }]
    expect(read({ ...channelMessage('x', { mention: false }), entities }).kind).toBe('nothing')
  })

  it('of somebody without a directory id is still theirs', () => {
    const { inbound } = delivered(personalMessage('help', { from: { id: '29:guest' } }))
    expect(inbound.by).toEqual({ id: `teams:${TENANT}:29:guest`, name: '29:guest' })
  })

  it.each([
    ['another bot', { from: { id: '28:another', name: 'Other' } }],
    ['a bot that says so', { from: { id: '29:x', name: 'Other', role: 'bot' } }],
  ])('from %s is passed over', (_, from) => {
    expect(read(personalMessage('hello', from)).kind).toBe('nothing')
  })

  it.each(['messageUpdate', 'messageDelete', 'messageReaction', 'installationUpdate', 'typing'])(
    '%s is passed over in silence',
    (type) => {
      const said = read({ ...channelMessage('x'), type })
      expect(said.kind).toBe('nothing')
      expect(said).not.toHaveProperty('unread')
    },
  )
})

describe('a button', () => {
  const opinion = { action: 'give-opinion', ref: 'MARSH-7', revision: 1, opinion: 'agree' }

  it('says what it does, with the sentence typed beside it', () => {
    const { inbound, key } = delivered(buttonPress({ soundings: opinion, sentence: ' mark the axis ' }))
    expect(inbound).toMatchObject({
      kind: 'choice',
      does: opinion,
      sentence: 'mark the axis',
      by: { id: `teams:${TENANT}:${ODILE.aadObjectId}`, name: 'Odile Finch' },
    })
    expect(inbound.place).toEqual({ platform: 'teams', workspace: TENANT, channel: CHANNEL })
    expect(key).toBe(`teams:submit:${CHANNEL}:1790000050000:${ODILE.aadObjectId}:f:press0001`)
  })

  it('without a sentence has none', () => {
    expect(delivered(buttonPress({ soundings: opinion, sentence: '  ' })).inbound).not.toHaveProperty('sentence')
  })

  it('pressed twice gives two keys, delivered twice gives one', () => {
    const press = (id: string) => delivered(buttonPress({ soundings: opinion }, { id })).key
    expect(press('f:1')).toBe(press('f:1'))
    expect(press('f:2')).not.toBe(press('f:1'))
  })

  it('on a preview shown in the personal chat acts where the case was put', () => {
    const value = { soundings: { action: 'post-draft', draftId: 'd1' }, askedIn: { channel: CHANNEL, thread: '1790000000000' } }
    const { inbound } = delivered(buttonPress(value, { personal: true }))
    expect(inbound.place).toEqual({ platform: 'teams', workspace: TENANT, channel: CHANNEL, thread: '1790000000000' })
    expect(inbound.reply).toMatchObject({ conversation: PERSONAL, kind: 'personal', replaces: '1790000050000' })
  })

  it('cannot reach another tenant, or another channel from a channel, whatever its value says', () => {
    const value = { soundings: opinion, askedIn: { channel: '19:other@thread.tacv2', workspace: 'another', platform: 'slack' } }
    expect(delivered(buttonPress(value, { personal: true })).inbound.place).toMatchObject({
      platform: 'teams',
      workspace: TENANT,
    })
    expect(delivered(buttonPress(value)).inbound.place).toMatchObject({ channel: CHANNEL })
  })

  it('on a preview lets the answer take the preview’s place, and no other button does', () => {
    const press = (action: string) =>
      delivered(buttonPress({ soundings: { action, draftId: 'd1' } }, { personal: true })).inbound.reply
    expect(press('post-draft')).toHaveProperty('replaces', '1790000050000')
    expect(press('cancel-draft')).toHaveProperty('replaces', '1790000050000')
    expect(press('correct-draft')).not.toHaveProperty('replaces')
    expect(delivered(buttonPress({ soundings: opinion })).inbound.reply).not.toHaveProperty('replaces')
  })

  it.each<[string, unknown]>([
    ['words', 'agree'],
    ['a number', 7],
    ['nothing of ours', {}],
    ['an action we do not have', { soundings: { action: 'delete-all' } }],
    ['an opinion we do not have', { soundings: { ...opinion, opinion: 'perhaps' } }],
    ['a revision that is none', { soundings: { ...opinion, revision: '1' } }],
    ['something added', { soundings: { action: 'post-draft', draftId: 'd1', as: 'U0009' } }],
    ['a sentence that is none', { soundings: opinion, sentence: { $ne: '' } }],
  ])('with %s is answered as unknown', (_, value) => {
    expect(read(buttonPress(value)).kind).toBe('unknown-button')
  })
})

describe('the bot’s arrival', () => {
  it('is welcomed, and nobody else’s', () => {
    expect(read(botAdded('team'))).toMatchObject({ kind: 'welcome', conversation: { id: CHANNEL, kind: 'channel' } })
    expect(read(botAdded('personal'))).toMatchObject({ kind: 'welcome', conversation: { id: PERSONAL, kind: 'personal' } })
    expect(read({ ...botAdded('team'), membersAdded: [ROWAN] }).kind).toBe('nothing')
    expect(read({ ...botAdded('team'), membersAdded: undefined }).kind).toBe('nothing')
  })
})

it.each([
  ['a kind that is not known', { type: 'holograph' }],
  ['a message whose text is none', { type: 'message', text: { $ne: '' } }],
  ['attachments that are none', { type: 'message', attachments: 'x' }],
])('%s is passed over, and said to be unread', (_, broken) => {
  expect(read({ ...channelMessage('x'), ...broken })).toMatchObject({ kind: 'nothing', unread: true })
})

it('names an unread kind without repeating what it carries', () => {
  const said = read({ ...channelMessage('Jane'), type: 'Jane Doe 1.2.1950' })
  expect(JSON.stringify(said)).not.toContain('Jane')
})
