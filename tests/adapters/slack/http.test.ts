import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { startSlack } from '../../../adapters/slack/start.js'
import { BOT } from '../../fakes/slack-api.js'
import { buttonPress, deliver, messageEvent, messageShortcut, slashCommand } from '../../fakes/slack-requests.js'
import { held } from '../../tools/delivery-inbox.js'
import { type Loopback, startLoopback } from './loopback.js'

let loopback: Loopback
beforeEach(async () => {
  loopback = await startLoopback()
})
afterEach(() => loopback.stop())

const MENTION = messageEvent({ text: '<@UBOT0001> LE 58M, AL 29.60', more: { type: 'app_mention' } })

describe('a request', () => {
  it.each([
    ['without a signature', { unsigned: true }],
    ['signed with another secret', { secret: 'another' }],
    ['six minutes old', { skewSeconds: -360 }],
    ['from six minutes in the future, signed well', { skewSeconds: 360 }],
    ['from the next day, signed well', { skewSeconds: 86_400 }],
  ])('%s is refused and nothing is kept', async (_, how) => {
    expect((await deliver(loopback.url, MENTION, how)).status).toBe(401)
    expect(loopback.inbox.kept).toEqual([])
  })

  it('without a time, or with words for one, is refused', async () => {
    const headers = { 'content-type': 'application/json', 'x-slack-signature': 'v0=00' }
    expect((await fetch(loopback.url, { method: 'POST', headers, body: '{}' })).status).toBe(401)
    const worded = { ...headers, 'x-slack-request-timestamp': 'now' }
    expect((await fetch(loopback.url, { method: 'POST', headers: worded, body: '{}' })).status).toBe(401)
  })

  it('to look at the address with a browser is told that only POST is served', async () => {
    const response = await fetch(loopback.url)
    expect(response.status).toBe(405)
    expect(response.headers.get('allow')).toBe('POST')
  })

  it('four minutes off either way is taken', async () => {
    expect((await deliver(loopback.url, MENTION, { skewSeconds: -240 })).status).toBe(200)
    expect((await deliver(loopback.url, MENTION, { skewSeconds: 240 })).status).toBe(200)
  })

  it('that verifies the address gets its challenge back, if signed', async () => {
    const check = { type: 'url_verification', challenge: 'c-123', token: 't' }
    const response = await deliver(loopback.url, check)
    expect(await response.json()).toEqual({ challenge: 'c-123' })
    expect((await deliver(loopback.url, check, { unsigned: true })).status).toBe(401)
  })

  it('whose form names its charset is read', async () => {
    const contentType = 'application/x-www-form-urlencoded; charset=utf-8'
    expect((await deliver(loopback.url, slashCommand('help'), { contentType })).status).toBe(200)
    expect(loopback.inbox.kept).toHaveLength(1)
  })
})

describe('a delivery', () => {
  it.each([
    ['a mention', MENTION],
    ['a slash command', slashCommand('LE 58M')],
    ['a button', buttonPress('{"action":"post-draft","draftId":"d1"}')],
    ['a shortcut', messageShortcut('LE 58M')],
  ])('of %s is kept before Slack is answered', async (_, payload) => {
    const { reached, letIn } = held(loopback.inbox)
    let answered = false
    const response = deliver(loopback.url, payload).then((one) => {
      answered = true
      return one
    })
    await reached
    await new Promise((resolve) => setTimeout(resolve, 50))
    expect(answered).toBe(false)
    letIn()
    expect((await response).status).toBe(200)
    expect(loopback.inbox.kept).toHaveLength(1)
  })

  it('that cannot be kept is answered with 500, and is kept when Slack repeats it', async () => {
    loopback.inbox.before = () => {
      throw new Error('disk full: LE 58M')
    }
    expect((await deliver(loopback.url, MENTION)).status).toBe(500)
    expect(loopback.logged.join()).not.toContain('58M')
    loopback.inbox.before = () => {}
    expect((await deliver(loopback.url, MENTION, { retryNumber: 1 })).status).toBe(200)
    expect(loopback.inbox.kept).toHaveLength(1)
  })

  it('repeated after a crash between keeping and answering is kept once', async () => {
    loopback.inbox.after = () => {
      throw new Error('killed')
    }
    expect((await deliver(loopback.url, MENTION)).status).toBe(500)
    loopback.inbox.after = () => {}
    expect((await deliver(loopback.url, MENTION, { retryNumber: 1 })).status).toBe(200)
    expect(loopback.inbox.kept).toHaveLength(1)
  })

  it('that arrives again, and as a message besides the mention, is kept once', async () => {
    expect((await deliver(loopback.url, MENTION)).status).toBe(200)
    expect((await deliver(loopback.url, MENTION, { retryNumber: 1 })).status).toBe(200)
    const asMessage = messageEvent({ text: '<@UBOT0001> LE 58M, AL 29.60', eventId: 'Ev9' })
    expect((await deliver(loopback.url, asMessage)).status).toBe(200)
    expect(loopback.inbox.kept.map((one) => one.key)).toEqual(['slack:msg:T0001:C0001:1790000100.000100'])
  })

  it.each([
    [
      'in a mention',
      messageEvent({ text: '<@UBOT0001> Mrs Jane Doe, DOB 03.02.1950, LE AL 29.60', more: { type: 'app_mention' } }),
    ],
    ['in a command', slashCommand('LE AL 29.60\nJane.Doe@example.org')],
    [
      'under a link’s harmless label',
      messageEvent({ text: 'LE AL 29.60 <mailto:jane.doe@example.org|notes>', channel: 'D0001' }),
    ],
  ])('that may identify a patient, %s, is kept without its text', async (_, payload) => {
    expect((await deliver(loopback.url, payload)).status).toBe(200)
    expect(loopback.inbox.kept).toMatchObject([{ inbound: { kind: 'refused-identifiers', addressed: true } }])
    expect(JSON.stringify([loopback.inbox.kept, loopback.logged])).not.toMatch(/jane|doe|29\.60/i)
  })

  it('that names a colleague is not taken to name a patient', async () => {
    await deliver(loopback.url, messageEvent({ text: 'ask <@U0002> and <@U0AB12CD34E>: LE AL 29.60', channel: 'D0001' }))
    expect(loopback.inbox.kept).toMatchObject([{ inbound: { kind: 'text' } }])
  })

  it('of everyday talk is answered and not kept', async () => {
    expect((await deliver(loopback.url, messageEvent({ text: 'good morning' }))).status).toBe(200)
    expect(loopback.inbox.kept).toEqual([])
  })

  it('carries the display name, asked for once and then remembered', async () => {
    await deliver(loopback.url, MENTION)
    await deliver(loopback.url, messageEvent({ text: 'help', channel: 'D0001', ts: '1790000101.000100' }))
    expect(loopback.inbox.kept.map((one) => one.inbound.by.name)).toEqual(['Rowan Vale', 'Rowan Vale'])
    expect(loopback.api.calls.filter((one) => one.method === 'users.info')).toHaveLength(1)
  })

  it('of a person whose name Slack does not give carries their id, and is kept all the same', async () => {
    await deliver(loopback.url, messageEvent({ text: 'help', channel: 'D0001', user: 'U0404' }))
    expect(loopback.inbox.kept[0]?.inbound.by).toEqual({ id: 'slack:T0001:U0404', name: '@U0404' })
  })

  it('does not wait for a name that is slow to come', async () => {
    loopback.api.misbehave('users.info', { kind: 'slow', ms: 900 })
    await deliver(loopback.url, MENTION)
    expect(loopback.inbox.kept[0]?.inbound.by.name).toBe('@U0001')
    await new Promise((resolve) => setTimeout(resolve, 300))
    await deliver(loopback.url, messageEvent({ text: 'help', channel: 'D0001', ts: '1790000101.000100' }))
    expect(loopback.inbox.kept[1]?.inbound.by.name).toBe('Rowan Vale')
  })

  it('of a button that is no longer known gets an answer that says so', async () => {
    const responseUrl = loopback.api.responseUrl()
    expect((await deliver(loopback.url, buttonPress('old', { response_url: responseUrl }))).status).toBe(200)
    await loopback.slack.stop()
    expect(loopback.inbox.kept).toEqual([])
    expect(loopback.api.ephemeral).toMatchObject([{ by: 'response_url', text: expect.stringContaining('no longer works') }])
  })

  it('of hostile text arrives word for word and is never logged', async () => {
    const hostile = `&lt;!channel&gt; ${'A'.repeat(39_000)} \u0000\u202e {{7*7}} '; drop table inbox; --`
    expect((await deliver(loopback.url, messageEvent({ text: hostile, channel: 'D0001' }))).status).toBe(200)
    const [kept] = loopback.inbox.kept
    expect(kept?.inbound).toMatchObject({ text: hostile.replace('&lt;', '<').replace('&gt;', '>') })
    expect(loopback.logged.join()).not.toContain('AAAA')
  })

  it('is still taken in while one is under way at the end, and none after', async () => {
    loopback.inbox.before = () => new Promise((resolve) => setTimeout(resolve, 100))
    const under = deliver(loopback.url, MENTION)
    await new Promise((resolve) => setTimeout(resolve, 40))
    await loopback.slack.stop()
    expect((await under).status).toBe(200)
    expect(loopback.inbox.kept).toHaveLength(1)
    expect((await deliver(loopback.url, slashCommand('help'))).status).toBe(500)
  })
})

describe('a reply in a thread that somebody else began', () => {
  const reply = messageEvent({ text: 'agree', more: { thread_ts: '1790000000.000100', parent_user_id: 'U0009' } })

  it('is kept if a consult hangs there, and not otherwise', async () => {
    const asked: unknown[] = []
    const choosy = await startLoopback({
      holdsConsult: (place) => {
        asked.push(place)
        return place.thread === '1790000000.000100'
      },
    })
    await deliver(choosy.url, reply)
    await deliver(
      choosy.url,
      messageEvent({
        text: 'lunch?',
        ts: '1790000105.000100',
        more: { thread_ts: '1790000001.000100', parent_user_id: 'U0009' },
      }),
    )
    expect(choosy.inbox.kept).toHaveLength(1)
    expect(asked).toHaveLength(2)
    await choosy.stop()
  })
})

describe('a start', () => {
  const settings = { botToken: BOT.token, signingSecret: 's', mode: 'http' as const }
  const deps = {
    accept: async () => {},
    receive: () => {
      throw new Error('nothing is received here')
    },
    logger: { info: () => {}, warn: () => {}, error: () => {} },
    clock: { now: () => new Date().toISOString() },
  }

  it('with a wrong token says which setting is wrong, and not the token', async () => {
    const start = startSlack({ ...settings, botToken: 'xoxb-wrong', apiUrl: loopback.api.url }, deps)
    await expect(start).rejects.toThrow(/SLACK_BOT_TOKEN \(invalid_auth\)/)
    await expect(start).rejects.not.toThrow(/xoxb-wrong/)
  })

  it('with nobody at the other end says so at once', async () => {
    await expect(startSlack({ ...settings, apiUrl: 'http://127.0.0.1:9/api/' }, deps)).rejects.toThrow(/could not be reached/)
  })

  it('asks who it is once, and asks nothing else', () => {
    expect(loopback.api.calls.map((one) => one.method)).toEqual(['auth.test'])
  })
})
