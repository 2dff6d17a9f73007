import { afterEach, describe, expect, it } from 'vitest'
import type { DirectMessage } from '../../../src/desk/ports.js'
import { REMINDER_CARD } from '../../tools/chat-cards.js'
import { type Loopback, startLoopback } from './loopback.js'

let loopback: Loopback
afterEach(() => loopback.stop())

const place = { platform: 'slack', workspace: 'T0001', channel: 'C0001' } as const

async function reminded(to: string, withRoot = true) {
  loopback = await startLoopback()
  const { sender } = loopback.slack
  const root = await sender.post({ place, card: REMINDER_CARD, part: 0, mark: 'root' })
  if (root.outcome !== 'sent') throw new Error(root.because)
  const message: DirectMessage = {
    to,
    ref: 'MARSH-7',
    card: REMINDER_CARD,
    place,
    mark: 'direct-1',
    ...(withRoot ? { root: root.message } : {}),
  }
  return { sender, message, root: root.message }
}
const said = () => loopback.api.posted.filter(({ channel }) => channel.startsWith('D'))

describe('a reminder on Slack', () => {
  it('is a direct message with a link to the consult, a way to stop it, and a mark to find it by', async () => {
    const { sender, message, root } = await reminded('slack:T0001:U0002')
    expect(await sender.direct?.(message)).toMatchObject({ outcome: 'sent' })
    const [direct, ...others] = said()
    expect(others).toEqual([])
    expect(direct).toMatchObject({
      channel: 'D0002',
      text: REMINDER_CARD.summary,
      metadata: { event_payload: { mark: 'direct-1' } },
    })
    expect(direct?.thread_ts).toBeUndefined()
    const blocks = JSON.stringify(direct?.blocks)
    expect(blocks).toContain(`/archives/C0001/p${root.replace('.', '')}|Open MARSH-7 where it was asked>`)
    expect(blocks).toContain('stop-reminders')
  })

  it('opens the direct messages of a person once', async () => {
    const { sender, message } = await reminded('slack:T0001:U0002')
    await sender.direct?.(message)
    await sender.direct?.(message)
    expect(loopback.api.calls.filter(({ method }) => method === 'conversations.open')).toHaveLength(1)
  })

  it('is said without its link where there is none', async () => {
    const { sender, message } = await reminded('slack:T0001:U0002')
    loopback.api.misbehave('chat.getPermalink', { kind: 'error', error: 'message_not_found' })
    expect(await sender.direct?.(message)).toMatchObject({ outcome: 'sent' })
    expect(JSON.stringify(said()[0]?.blocks)).not.toContain('Open MARSH-7')
  })

  it.each([
    ['is unknown to Slack', 'slack:T0001:U0404'],
    ['is of another workspace', 'slack:T9:U0002'],
    ['is of another chat', 'teams:tenant:U0002'],
  ])('has no way to somebody who %s', async (_, to) => {
    const { sender, message } = await reminded(to)
    expect(await sender.direct?.(message)).toMatchObject({ outcome: 'refused' })
    expect(said()).toEqual([])
  })

  it('has no way to anybody for an app that was installed without the newer permission', async () => {
    const { sender, message } = await reminded('slack:T0001:U0002')
    loopback.api.misbehave('conversations.open', { kind: 'error', error: 'missing_scope' })
    expect(await sender.direct?.(message)).toMatchObject({
      outcome: 'refused',
      because: expect.stringContaining('install it again'),
    })
  })

  it.each([{ kind: 'cut' }, { kind: 'rate-limit', retryAfter: 30 }, { kind: 'status', status: 503 }] as const)(
    'is certainly not said when opening the direct messages fails ($kind)',
    async (how) => {
      const { sender, message } = await reminded('slack:T0001:U0002')
      loopback.api.misbehave('conversations.open', how)
      expect(await sender.direct?.(message)).toMatchObject({ outcome: 'not-sent' })
    },
  )

  it('whose answer was lost is found again by its mark, where it stands', async () => {
    const { sender, message } = await reminded('slack:T0001:U0002')
    loopback.api.misbehave('chat.postMessage', { kind: 'lost-answer' })
    const since = new Date(Date.now() - 1_000).toISOString()
    expect(await sender.direct?.(message)).toMatchObject({ outcome: 'unknown' })
    expect(await sender.lookForDirect?.(message, since)).toEqual({ found: said()[0]?.ts })
    expect(await sender.lookForDirect?.({ ...message, mark: 'another' }, since)).toBe('not-found')
  })

  it('finds whom a name means, whether or not they have been heard of', async () => {
    const { sender } = await reminded('slack:T0001:U0002')
    expect(await sender.personNamed?.('@odile finch', place)).toBe('slack:T0001:U0002')
    expect(await sender.personNamed?.('Retina team', place)).toBeUndefined()
    expect(loopback.api.calls.filter(({ method }) => method === 'users.list')).toHaveLength(1)
  })
})
