import { LogLevel, WebClient } from '@slack/web-api'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { causeAtSlack } from '../../../adapters/slack/look-ups.js'
import { type NameBook, nameBook } from '../../../adapters/slack/names.js'
import { slackRooms } from '../../../adapters/slack/rooms.js'
import { oncePerCause } from '../../../src/desk/failed-look-ups.js'
import type { Room, Rooms } from '../../../src/desk/rooms.js'
import { BOT, type SlackApi, startSlackApi } from '../../fakes/slack-api.js'
import { GRANTED } from './loopback.js'

const at = (channel: string): Room => ({ platform: 'slack', workspace: 'T0001', channel })
const person = (user: string) => `slack:T0001:${user}`

let api: SlackApi
let now: number
let rooms: Rooms
let names: NameBook
let said: string[]
const start = async (scopes: readonly string[]) => {
  api = await startSlackApi({
    scopes,
    channels: ['C0001', 'C0PRIVATE'],
    names: { U0001: 'Rowan Vale', U0002: 'Odile Finch', U0003: 'Alder' },
    rooms: {
      C0PRIVATE: { isPrivate: true, members: ['U0001', 'U0002', 'U0004', 'U0005', 'U0006'] },
      C0OTHER: { isPrivate: false, members: ['U0003'] },
      C0SECRET: { isPrivate: true, members: ['U0003'] },
    },
  })
  const client = new WebClient(BOT.token, {
    slackApiUrl: api.url,
    retryConfig: { retries: 0 },
    rejectRateLimitedCalls: true,
    logLevel: LogLevel.ERROR,
  })
  said = []
  const failed = oncePerCause(
    (asked, cause) => said.push(`${asked}: ${cause}`),
    () => now,
    causeAtSlack,
  )
  rooms = slackRooms(client, () => now, failed)
  names = nameBook(client, () => now, failed)
}
beforeEach(async () => {
  now = 0
  await start(GRANTED)
})
afterEach(() => api.stop())
const calls = (method: string) => api.calls.filter((call) => call.method === method).length

describe('a channel on Slack', () => {
  it('is read by the workspace if it is open, and by its members alone if it is private, whatever its id looks like', async () => {
    expect(await rooms.audienceOf(at('C0001'))).toBe('workspace')
    expect(await rooms.audienceOf(at('C0OTHER'))).toBe('workspace')
    expect(await rooms.audienceOf(at('C0PRIVATE'))).toEqual({ membersOf: 'C0PRIVATE' })
  })

  it('has the members that Slack lists, on whatever page', async () => {
    expect(await rooms.isMember(person('U0006'), at('C0PRIVATE'))).toBe(true)
    expect(await rooms.isMember(person('U0003'), at('C0PRIVATE'))).toBe(false)
    expect(calls('conversations.members')).toBe(3)
    expect(await rooms.isMember('slack:T9:U0001', at('C0PRIVATE'))).toBe(false)
    expect(await rooms.isMember('teams:T0001:U0001', at('C0PRIVATE'))).toBe(false)
  })

  it('has the bot in it or not', async () => {
    expect(await rooms.botIsMember(at('C0PRIVATE'))).toBe(true)
    expect(await rooms.botIsMember(at('C0OTHER'))).toBe(false)
    expect(await rooms.botIsMember(at('C0SECRET'))).toBe(false)
    expect(await rooms.audienceOf(at('C0SECRET'))).toBeUndefined()
    expect(await rooms.isMember(person('U0003'), at('C0SECRET'))).toBeUndefined()
  })

  it('is asked about once in some minutes, and by those who ask at once together', async () => {
    await Promise.all([rooms.audienceOf(at('C0001')), rooms.botIsMember(at('C0001')), rooms.audienceOf(at('C0001'))])
    expect(calls('conversations.info')).toBe(1)
    now += 4 * 60_000
    await rooms.audienceOf(at('C0001'))
    expect(calls('conversations.info')).toBe(1)
    now += 2 * 60_000
    await rooms.audienceOf(at('C0001'))
    expect(calls('conversations.info')).toBe(2)
  })

  it.each([{ kind: 'rate-limit', retryAfter: 30 }, { kind: 'cut' }, { kind: 'error', error: 'internal_error' }] as const)(
    'of which Slack does not tell now ($kind) is unknown, and asked about again after a minute',
    async (how) => {
      api.misbehave('conversations.info', how)
      api.misbehave('conversations.members', how)
      expect(await rooms.audienceOf(at('C0PRIVATE'))).toBeUndefined()
      expect(await rooms.botIsMember(at('C0PRIVATE'))).toBeUndefined()
      expect(await rooms.isMember(person('U0001'), at('C0PRIVATE'))).toBeUndefined()
      now += 61_000
      expect(await rooms.audienceOf(at('C0PRIVATE'))).toEqual({ membersOf: 'C0PRIVATE' })
      expect(await rooms.isMember(person('U0001'), at('C0PRIVATE'))).toBe(true)
    },
  )
})

it('an app that was installed without the newer permissions knows nothing of channels', async () => {
  await api.stop()
  await start(['chat:write'])
  expect(await rooms.audienceOf(at('C0001'))).toBeUndefined()
  expect(await rooms.isMember(person('U0001'), at('C0001'))).toBeUndefined()
})

describe('what Slack does not tell', () => {
  it('for want of a permission is said once, with the permission and without names', async () => {
    await api.stop()
    await start(['chat:write'])
    for (const channel of ['C0001', 'C0PRIVATE']) {
      await rooms.audienceOf(at(channel))
      await rooms.isMember(person('U0001'), at(channel))
    }
    for (const user of ['U0001', 'U0002']) await names.nameOf(user)
    await names.idOf('Alder')
    expect([...new Set(said.map((line) => line.split(':')[0]))]).toEqual([
      'conversations.info',
      'conversations.members',
      'users.info',
      'users.list',
    ])
    expect(new Set(said).size).toBe(said.length)
    for (const line of said) expect(line).toMatch(/missing_scope/)
    expect(said.join()).not.toMatch(/C0|U0|Rowan|Alder/)
  })

  it('is nothing to complain of where the channel does not exist for the bot', async () => {
    await rooms.audienceOf(at('C0SECRET'))
    await rooms.isMember(person('U0003'), at('C0SECRET'))
    expect(said).toEqual([])
  })
})
