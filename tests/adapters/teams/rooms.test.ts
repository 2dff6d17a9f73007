import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { Room } from '../../../src/desk/rooms.js'
import { buttonPress, CHANNEL, channelMessage, ODILE, ROWAN } from '../../fakes/teams-activities.js'
import { TENANT } from '../../fakes/teams-tokens.js'
import { type Loopback, startLoopback } from './loopback.js'

let loopback: Loopback
beforeEach(async () => {
  loopback = await startLoopback()
})
afterEach(() => loopback.stop())

const ROOM: Room = { platform: 'teams', workspace: TENANT, channel: CHANNEL }
const TEAM = '19:team@thread.tacv2'
const person = ({ aadObjectId }: { readonly aadObjectId: string }) => `teams:${TENANT}:${aadObjectId}`
const heardIn = (channel: object) =>
  loopback.deliver(channelMessage('help', { more: { channelData: { tenant: { id: TENANT }, team: { id: TEAM }, channel } } }))
const audience = () => loopback.teams.rooms.audienceOf(ROOM)
const looks = () => loopback.connector.calls.filter(({ method }) => method === 'GET').length

describe('a channel of Teams', () => {
  it('has the readers of its team when it is a standard one, and its own when it is private or shared', async () => {
    expect(await audience()).toBeUndefined()
    await heardIn({ id: CHANNEL, type: 'standard' })
    expect(await audience()).toEqual({ membersOf: TEAM })
    for (const type of ['private', 'shared']) {
      await heardIn({ id: CHANNEL, type })
      expect(await audience()).toEqual({ membersOf: CHANNEL })
    }
  })

  it('has readers nobody knows of while its kind is not said', async () => {
    await heardIn({ id: CHANNEL })
    expect(await audience()).toBeUndefined()
  })

  it('has the members that its roster names, each asked about once in some minutes', async () => {
    await heardIn({ id: CHANNEL })
    loopback.connector.rosters.set(CHANNEL, [ROWAN.aadObjectId])
    const { rooms } = loopback.teams
    expect(await rooms.isMember(person(ROWAN), ROOM)).toBe(true)
    expect(await rooms.isMember(person(ODILE), ROOM)).toBe(false)
    expect(await rooms.isMember(person(ODILE), ROOM)).toBe(false)
    expect(await rooms.isMember(`teams:another:${ROWAN.aadObjectId}`, ROOM)).toBe(false)
    expect(looks()).toBe(2)
  })

  it.each([{ kind: 'status', status: 403 }, { kind: 'status', status: 500 }, { kind: 'cut' }] as const)(
    'of whose members Teams does not tell ($kind $status) has members nobody knows of',
    async (how) => {
      await heardIn({ id: CHANNEL })
      loopback.connector.misbehave(how, /members/)
      expect(await loopback.teams.rooms.isMember(person(ROWAN), ROOM)).toBeUndefined()
    },
  )

  it('that was never heard from has neither members nor the bot in it', async () => {
    const { rooms } = loopback.teams
    expect(await rooms.isMember(person(ROWAN), ROOM)).toBeUndefined()
    expect(await rooms.botIsMember(ROOM)).toBe(false)
    await heardIn({ id: CHANNEL })
    expect(await rooms.botIsMember(ROOM)).toBe(true)
  })
})

describe('a button that carries a channel along', () => {
  const press = (from: object) =>
    loopback.deliver(
      buttonPress(
        { soundings: { action: 'post-draft', draftId: 'd1' }, askedIn: { channel: CHANNEL } },
        { personal: true, from, id: 'f:1' },
      ),
    )

  it('acts in that channel for somebody who is in it', async () => {
    await heardIn({ id: CHANNEL })
    loopback.inbox.kept.length = 0
    await press(ROWAN)
    expect(loopback.inbox.kept).toMatchObject([{ inbound: { place: { channel: CHANNEL } } }])
  })

  it('opens the channel to nobody else: nothing is kept, and they are told that it does not work', async () => {
    await heardIn({ id: CHANNEL })
    loopback.connector.rosters.set(CHANNEL, [ODILE.aadObjectId])
    loopback.inbox.kept.length = 0
    await press(ROWAN)
    for (let tries = 0; tries < 200 && loopback.connector.standing.length === 0; tries += 1)
      await new Promise((resolve) => setTimeout(resolve, 5))
    expect(loopback.inbox.kept).toEqual([])
    expect(JSON.stringify(loopback.connector.standing)).toContain('no longer works')
  })

  it('opens the channel to nobody whose membership Teams does not tell: they are asked to press again', async () => {
    await heardIn({ id: CHANNEL })
    loopback.connector.misbehave({ kind: 'status', status: 500 }, /members/)
    loopback.inbox.kept.length = 0
    await press(ROWAN)
    for (let tries = 0; tries < 200 && loopback.connector.standing.length === 0; tries += 1)
      await new Promise((resolve) => setTimeout(resolve, 5))
    expect(loopback.inbox.kept).toEqual([])
    expect(JSON.stringify(loopback.connector.standing)).toContain('in a minute')
  })

  it('opens no channel that the bot was never heard from in', async () => {
    await press(ROWAN)
    expect(loopback.inbox.kept).toEqual([])
  })
})
