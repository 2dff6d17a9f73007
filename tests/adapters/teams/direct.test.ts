import { afterEach, describe, expect, it } from 'vitest'
import type { DirectMessage } from '../../../src/desk/ports.js'
import { CHANNEL, channelMessage, ROWAN } from '../../fakes/teams-activities.js'
import { TENANT } from '../../fakes/teams-tokens.js'
import { REMINDER_CARD } from '../../tools/chat-cards.js'
import { type Loopback, startLoopback } from './loopback.js'

let loopback: Loopback
afterEach(() => loopback.stop())

const ALONE = 'a:alone0001'
const MESSAGE: DirectMessage = {
  to: `teams:${TENANT}:${ROWAN.aadObjectId}`,
  ref: 'MARSH-7',
  card: REMINDER_CARD,
  place: { platform: 'teams', workspace: TENANT, channel: CHANNEL },
  root: '1790000050000',
  mark: 'direct-1',
}

const start = async () => {
  loopback = await startLoopback()
  loopback.connector.chats.set(ROWAN.aadObjectId, ALONE)
  await loopback.deliver(channelMessage('help'))
  return loopback.teams.sender
}

describe('a reminder on Teams', () => {
  it('is said in the person’s own chat with the bot, with a link to the consult and a way to stop it', async () => {
    const sender = await start()
    expect(await sender.direct?.(MESSAGE)).toMatchObject({ outcome: 'sent' })
    expect(loopback.connector.standing).toMatchObject([{ conversation: ALONE, summary: REMINDER_CARD.summary }])
    const said = JSON.stringify(loopback.connector.standing[0]?.card)
    expect(said).toContain(
      `[Open MARSH-7 where it was asked](https://teams.microsoft.com/l/message/${encodeURIComponent(CHANNEL)}/1790000050000?`,
    )
    expect(said).toContain('stop-reminders')
  })

  it('has no way to somebody whose chat with the bot is closed, or whom Teams does not know', async () => {
    const sender = await start()
    loopback.connector.chats.clear()
    expect(await sender.direct?.(MESSAGE)).toMatchObject({ outcome: 'refused' })
    expect(await sender.direct?.({ ...MESSAGE, to: 'slack:T0001:U0001' })).toMatchObject({ outcome: 'refused' })
    expect(loopback.connector.standing).toEqual([])
  })

  it('is certainly not said when the chat cannot be had now, and cannot be looked for when its fate is unknown', async () => {
    const sender = await start()
    loopback.connector.misbehave({ kind: 'cut' }, /conversations$/)
    expect(await sender.direct?.(MESSAGE)).toMatchObject({ outcome: 'not-sent' })
    loopback.connector.misbehave({ kind: 'lost-answer' }, /activities/)
    expect(await sender.direct?.(MESSAGE)).toMatchObject({ outcome: 'unknown' })
    expect(await sender.lookForDirect?.(MESSAGE, '')).toBe('cannot-look')
  })

  it('finds whom a name means among those heard of', async () => {
    const sender = await start()
    expect(await sender.personNamed?.('rowan vale', MESSAGE.place)).toBe(MESSAGE.to)
    expect(await sender.personNamed?.('Odile Finch', MESSAGE.place)).toBeUndefined()
  })
})
