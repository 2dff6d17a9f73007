import { describe, expect, it } from 'vitest'
import { translate } from '../../../adapters/slack/translate.js'
import { BOT } from '../../fakes/slack-api.js'
import { buttonPress, messageEvent, messageShortcut, slashCommand } from '../../fakes/slack-requests.js'

const read = (body: unknown) => translate(body, BOT)
const delivered = (body: unknown) => {
  const said = read(body)
  if (said.kind !== 'delivery') throw new Error(`expected a delivery, got ${said.kind}`)
  return said
}

describe('a slash command', () => {
  it('carries a whole case over many lines', () => {
    const { inbound, key } = delivered(slashCommand('LE 58M\nAL 29.60\n? chop or manual'))
    expect(key).toBe('slack:command:T0001:1111.2222.aaaa')
    expect(inbound).toMatchObject({
      kind: 'text',
      text: 'LE 58M\nAL 29.60\n? chop or manual',
      addressed: true,
      by: { id: 'slack:T0001:U0001', name: 'r.vale' },
      place: { platform: 'slack', workspace: 'T0001', channel: 'C0001' },
    })
  })

  it('is a delivery even when it says nothing: that deserves an answer too', () => {
    expect(delivered(slashCommand('')).inbound).toMatchObject({ text: '', addressed: true })
  })

  it('remembers where to answer', () => {
    const { inbound } = delivered(slashCommand('help', { response_url: 'https://hooks.slack.com/commands/1' }))
    expect(inbound.reply).toEqual({ channel: 'C0001', user: 'U0001', responseUrl: 'https://hooks.slack.com/commands/1' })
  })
})

describe('a message', () => {
  it('that names the bot has the name taken out', () => {
    const { inbound } = delivered(messageEvent({ text: '<@UBOT0001> LE AL 29.60', more: { type: 'app_mention' } }))
    expect(inbound).toMatchObject({ text: 'LE AL 29.60', addressed: true })
    expect(inbound.place).not.toHaveProperty('thread')
  })

  it('that arrives both as a message and as a mention has one key and one meaning', () => {
    const asMessage = delivered(messageEvent({ text: '<@UBOT0001> LE AL 29.60', eventId: 'Ev1' }))
    const asMention = delivered(messageEvent({ text: '<@UBOT0001> LE AL 29.60', eventId: 'Ev2', more: { type: 'app_mention' } }))
    expect(asMessage).toEqual(asMention)
  })

  it('in direct messages needs no name', () => {
    expect(delivered(messageEvent({ text: 'LE AL 29.60', channel: 'D0001' })).inbound).toMatchObject({ addressed: true })
  })

  it('in a thread is overheard, with its thread', () => {
    const { inbound, strangersThread } = delivered(
      messageEvent({ text: 'agree, but mark the axis', more: { thread_ts: '1790000000.000100', parent_user_id: BOT.userId } }),
    )
    expect(inbound).toMatchObject({ addressed: false, place: { thread: '1790000000.000100' } })
    expect(strangersThread).toBe(false)
  })

  it('in a thread that somebody else began is marked so, and may be left unread', () => {
    const more = { thread_ts: '1790000000.000100', parent_user_id: 'U0009' }
    expect(delivered(messageEvent({ text: 'lunch?', more })).strangersThread).toBe(true)
    expect(delivered(messageEvent({ text: '<@UBOT0001> help', more })).strangersThread).toBe(false)
  })

  it('in a channel, neither addressed nor in a thread, is not read at all', () => {
    expect(read(messageEvent({ text: 'good morning' })).kind).toBe('nothing')
    // Slack writes thread_ts on the first message of a thread too
    expect(read(messageEvent({ text: 'good morning', more: { thread_ts: '1790000100.000100' } })).kind).toBe('nothing')
  })

  it('with a picture still has its text read', () => {
    const more = {
      subtype: 'file_share',
      files: [{ id: 'F00000001', mimetype: 'image/jpeg', url_private: 'https://files.slack.com/x' }],
    }
    const { inbound } = delivered(messageEvent({ text: 'LE AL 29.60', channel: 'D0001', more }))
    expect(inbound).toMatchObject({ text: 'LE AL 29.60', hasPicture: true })
    expect(JSON.stringify(inbound)).not.toContain('files.slack.com')
  })

  it.each([
    ['an edit', { subtype: 'message_changed', message: { text: 'x' } }],
    ['a deletion', { subtype: 'message_deleted' }],
    ['somebody joining', { subtype: 'channel_join' }],
    ['another bot', { bot_id: 'B0009', user: undefined }],
    ['the bot itself', { user: BOT.userId }],
  ])('from %s is passed over', (_, more) => {
    expect(read(messageEvent({ text: '<@UBOT0001> hello', channel: 'D0001', more })).kind).toBe('nothing')
  })
})

describe('the message shortcut', () => {
  it('reads somebody’s message for the person who chose it', () => {
    const { inbound, key } = delivered(messageShortcut('LE 58M, AL &gt; 29'))
    expect(inbound).toMatchObject({ kind: 'text', text: 'LE 58M, AL > 29', by: { id: 'slack:T0001:U0002' }, addressed: true })
    expect(key).toBe('slack:shortcut:T0001:C0001:1790000150.000100:U0002:1790000200.123456')
  })

  it('of another app is passed over', () => {
    expect(read(messageShortcut('x', { callback_id: 'somebody_elses' })).kind).toBe('nothing')
  })
})

describe('a button', () => {
  const opinion = JSON.stringify({ action: 'give-opinion', ref: 'MARSH-7', revision: 1, opinion: 'agree' })

  it('says what it does', () => {
    const { inbound, key } = delivered(buttonPress(opinion))
    expect(inbound).toMatchObject({
      kind: 'choice',
      does: { action: 'give-opinion', ref: 'MARSH-7', revision: 1, opinion: 'agree' },
      by: { id: 'slack:T0001:U0002', name: 'o.finch' },
    })
    expect(inbound.place).not.toHaveProperty('thread')
    expect(key).toBe('slack:action:T0001:C0001:1790000160.000100:U0002:choice-0:1790000170.654321')
  })

  it('pressed twice gives two keys, delivered twice gives one', () => {
    const again = buttonPress(opinion)
    const pressedAgain = buttonPress(opinion, { actions: [{ ...again.actions[0], action_ts: '1790000171.000001' }] })
    expect(delivered(again).key).toBe(delivered(buttonPress(opinion)).key)
    expect(delivered(pressedAgain).key).not.toBe(delivered(again).key)
  })

  it('on a preview lets the answer take the preview’s place', () => {
    const post = JSON.stringify({ action: 'post-draft', draftId: 'd1' })
    const correct = JSON.stringify({ action: 'correct-draft', draftId: 'd1' })
    expect(delivered(buttonPress(post)).inbound.reply).toHaveProperty('replaces', 'preview')
    expect(delivered(buttonPress(correct)).inbound.reply).not.toHaveProperty('replaces')
  })

  it.each([
    ['no value', undefined],
    ['no JSON', 'agree'],
    ['an action we do not have', '{"action":"delete-all"}'],
    ['an opinion we do not have', '{"action":"give-opinion","ref":"MARSH-7","revision":1,"opinion":"perhaps"}'],
    ['a revision that is none', '{"action":"give-opinion","ref":"MARSH-7","revision":"1","opinion":"agree"}'],
    ['something added', '{"action":"post-draft","draftId":"d1","as":"U0009"}'],
  ])('with %s is answered as unknown', (_, value) => {
    expect(read(buttonPress(value)).kind).toBe('unknown-button')
  })

  it('that is a link is only reported by Slack and needs nothing', () => {
    const [action] = buttonPress(undefined).actions
    expect(read(buttonPress(undefined, { actions: [{ ...action, url: 'https://example.org' }] })).kind).toBe('nothing')
  })
})

it.each([
  ['an event of another kind', { type: 'event_callback', team_id: 'T0001', event: { type: 'reaction_added' } }],
  ['nothing', {}],
  ['null', null],
  ['a text', 'hello'],
  ['a message without a channel', { type: 'event_callback', team_id: 'T0001', event: { type: 'message', ts: '1.2' } }],
])('%s is passed over, and said to be unread', (_, body) => {
  expect(read(body)).toMatchObject({ kind: 'nothing', unread: true })
})

it('names an unread kind without repeating what it carries', () => {
  const said = read({ type: 'view_submission', view: { secret: 'Jane' }, event: { type: 'Jane Doe 1.2.1950' } })
  expect(JSON.stringify(said)).not.toContain('Jane')
})
