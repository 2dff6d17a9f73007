import { expect, it } from 'vitest'
import { roomsOf } from '../../adapters/rooms.js'
import type { Audience, Room } from '../../src/desk/rooms.js'

const ROOM: Room = { platform: 'slack', workspace: 'T1', channel: 'C1' }
const START = Date.parse('2026-03-02T18:00:00.000Z')
const HOUR_MS = 3_600_000

function heard() {
  const said: { audience: Audience | undefined } = { audience: 'workspace' }
  const kept = new Map<string, { audience: Audience; at: string }>()
  const time = { now: START }
  let written = 0
  const rooms = roomsOf({
    chats: () => ({
      slack: { audienceOf: async () => said.audience, isMember: async () => true, botIsMember: async () => true },
    }),
    audiences: {
      get: async ({ channel }) => kept.get(channel),
      async put({ channel }, audience, at) {
        written += 1
        kept.set(channel, { audience, at })
      },
    },
    clock: { now: () => new Date(time.now).toISOString() },
  })
  return { rooms, said, kept, time, written: () => written }
}

it('what a chat says of a room is kept, and written down again only when it changes or grows old', async () => {
  const { rooms, said, kept, time, written } = heard()
  expect(await rooms.audienceOf(ROOM)).toBe('workspace')
  await rooms.audienceOf(ROOM)
  expect(written()).toBe(1)
  said.audience = { membersOf: 'C1' }
  expect(await rooms.audienceOf(ROOM)).toEqual({ membersOf: 'C1' })
  expect(kept.get('C1')?.audience).toEqual({ membersOf: 'C1' })
  time.now += 2 * HOUR_MS
  await rooms.audienceOf(ROOM)
  expect(written()).toBe(3)
})

it('while a chat does not answer, a closed room stays closed, and an open one is open for a day', async () => {
  const { rooms, said, time } = heard()
  await rooms.audienceOf(ROOM)
  said.audience = undefined
  time.now += 23 * HOUR_MS
  expect(await rooms.audienceOf(ROOM)).toBe('workspace')
  time.now += 2 * HOUR_MS
  expect(await rooms.audienceOf(ROOM)).toBeUndefined()
  said.audience = { membersOf: 'C1' }
  await rooms.audienceOf(ROOM)
  said.audience = undefined
  time.now += 1_000 * HOUR_MS
  expect(await rooms.audienceOf(ROOM)).toEqual({ membersOf: 'C1' })
})

it('of a chat that is off nothing is known but what the id says', async () => {
  const { rooms } = heard()
  const elsewhere: Room = { platform: 'teams', workspace: 'T1', channel: '19:c@thread.tacv2' }
  expect(await rooms.audienceOf(elsewhere)).toEqual({ membersOf: '19:c@thread.tacv2' })
  expect(await rooms.isMember('x', elsewhere)).toBeUndefined()
  expect(await rooms.audienceOf({ ...ROOM, channel: 'D1' })).toEqual({ membersOf: 'D1' })
  expect(await rooms.audienceOf({ platform: 'web', workspace: 'local', channel: 'page' })).toBe('workspace')
})
