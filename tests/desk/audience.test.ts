import { describe, expect, it } from 'vitest'
import type { Person, Place } from '../../src/consult/people.js'
import { currentCard } from '../../src/desk/consult-here.js'
import type { Inbound } from '../../src/desk/ports.js'
import type { Audience, Rooms } from '../../src/desk/rooms.js'
import { understand } from '../../src/intake/understand.js'
import { ASKER, CORNEA, PLACE, RETINA } from '../consult/invented-people.js'
import { inventedPlan } from '../contracts/invented-plan.js'
import { answered, deskInMemory, text } from './desk-in-memory.js'

/** A channel whose id looks like that of an open one. */
const PRIVATE: Place = { ...PLACE, channel: 'C7' }
const DIRECT: Place = { ...PLACE, channel: 'D1' }
const CASE = 'LE, AL 29.10 optical, K1 42.10@95 K2 43.20@5, brown NO 5.2\nQ: chop or manual?'

function deskWith(rooms: Partial<Rooms> = {}, kept: (channel: string) => Audience | undefined = () => 'workspace') {
  let named = 0
  const desk = deskInMemory({
    understand,
    makePlan: async (given) => ({ ...inventedPlan(), case: given }),
    names: {
      draftId: () => `d${named}`,
      consultRef: async () => {
        named += 1
        return `STONE-${named}`
      },
    },
    rooms: {
      audienceOf: async ({ channel }) => (channel === 'C7' ? { membersOf: 'C7' } : 'workspace'),
      isMember: async (person) => person === RETINA.id,
      botIsMember: async () => true,
      ...rooms,
    },
  })
  const view = { ...desk.view, audienceOf: async ({ channel }: { channel: string }) => kept(channel) }
  const put = async (place: Place) => {
    desk.now.minute += 1
    await desk.handle(text(CASE, { place }))
    await desk.handle(text('post', { place }))
  }
  const say = async (said: string, by: Person, place = DIRECT) => answered(await desk.handle(text(said, { by, place })))
  return { ...desk, view, put, say }
}

describe('a consult of a private channel', () => {
  it('is found, shown and answered by its members and its own people, from wherever they write', async () => {
    const { put, say, handle } = deskWith()
    await put(PRIVATE)
    for (const by of [RETINA, ASKER]) {
      expect(await say('find AL>29', by)).toContain('STONE-1')
      expect(await say('find brown', by)).toContain('STONE-1')
      expect(await say('STONE-1', by)).toContain('Left eye')
    }
    expect((await handle(text('STONE-1 agree', { by: RETINA, place: DIRECT }))).events).toMatchObject([
      { type: 'opinion-given', by: { id: RETINA.id } },
    ])
  })

  it('is nothing to anybody else', async () => {
    const { put, say, handle } = deskWith()
    await put(PRIVATE)
    expect(await say('find AL>29', CORNEA)).toContain('Nothing found')
    expect(await say('find brown', CORNEA, PLACE)).toContain('Nothing found')
    expect(await say('STONE-1', CORNEA)).toContain('no such consult')
    expect((await handle(text('STONE-1 agree', { by: CORNEA, place: DIRECT }))).events).toEqual([])
  })

  it('is shown where it stands, whoever reads there', async () => {
    const { put, say } = deskWith()
    await put(PRIVATE)
    expect(await say('STONE-1', CORNEA, PRIVATE)).toContain('Left eye')
  })

  it('is not shown while the chat does not say who reads it, or who is in it', async () => {
    for (const silent of [{ audienceOf: async () => undefined }, { isMember: async () => undefined }]) {
      const { put, say } = deskWith(silent)
      await put(PRIVATE)
      expect(await say('find AL>29', RETINA)).toContain('Nothing found')
      expect(await say('find AL>29', ASKER)).toContain('STONE-1')
    }
  })

  it('is asked about once in a search, however many stand in it', async () => {
    const asked: string[] = []
    const { put, say } = deskWith({
      isMember: async (person, { channel }) => {
        asked.push(channel)
        return person === RETINA.id
      },
    })
    for (let n = 0; n < 4; n += 1) await put(PRIVATE)
    expect(await say('find AL>29', RETINA)).toContain('4 consults found')
    expect(asked).toEqual(['C7'])
  })
})

describe('past cases on a card', () => {
  const nearest = async (first: Place, second: Place, kept: (channel: string) => Audience | undefined) => {
    const { put, view } = deskWith({}, kept)
    await put(first)
    await put(second)
    return JSON.stringify(await currentCard(view, 'STONE-2')).includes('STONE-1')
  }
  it('are those that everybody who reads the card may see', async () => {
    const heard = (channel: string): Audience => (channel === 'C7' ? { membersOf: 'C7' } : 'workspace')
    expect(await nearest(PRIVATE, PLACE, heard)).toBe(false)
    expect(await nearest(PLACE, PRIVATE, heard)).toBe(true)
    expect(await nearest(PRIVATE, PRIVATE, heard)).toBe(true)
  })

  it('are those of a team whose channels have the same readers', async () => {
    const team: Audience = { membersOf: '19:team' }
    expect(await nearest(PRIVATE, PLACE, () => team)).toBe(true)
    expect(await nearest(PRIVATE, PLACE, (channel) => (channel === 'C7' ? { membersOf: '19:other' } : team))).toBe(false)
  })

  it('are not shown from a channel of which nobody has heard who reads it', async () => {
    expect(await nearest(PRIVATE, PLACE, () => undefined)).toBe(false)
    expect(await nearest(PRIVATE, PRIVATE, () => undefined)).toBe(true)
  })
})

describe('a case for another channel than it was written in', () => {
  const form = (channel: string): Inbound => ({
    kind: 'form',
    form: 'ask',
    about: {},
    values: { text: CASE, channel, urgency: 'routine' },
    by: ASKER,
    place: DIRECT,
    reply: { to: 'here' },
  })
  const yes = async (): Promise<boolean> => true
  const post: Inbound = {
    kind: 'choice',
    does: { action: 'post-draft', draftId: 'd0' },
    by: ASKER,
    place: DIRECT,
    reply: { to: 'here' },
  }

  it('is posted there by somebody who is in it', async () => {
    const desk = deskWith({ isMember: yes })
    await desk.handle(form('C7'))
    const { events, outbound } = await desk.handle(post)
    expect(events).toMatchObject([{ type: 'consult-asked', place: { channel: 'C7' } }])
    expect(outbound).toMatchObject([{ kind: 'consult-card', place: { channel: 'C7' } }, { kind: 'answer' }])
  })

  const refusals: readonly (readonly [string, Partial<Rooms>, string])[] = [
    ['they are not in it', { isMember: async () => false }, 'you are not in the channel'],
    ['the bot is not in it', { isMember: yes, botIsMember: async () => false }, 'I am not in the channel'],
    ['it cannot be found out', { isMember: async () => undefined }, 'cannot be found out now'],
    ['it cannot be found out of the bot', { isMember: yes, botIsMember: async () => undefined }, 'cannot be found out now'],
  ]
  it.each(refusals)('is refused where %s, with what was written', async (_, rooms, why) => {
    const desk = deskWith(rooms)
    const effects = await desk.handle(form('C7'))
    expect(effects.drafts).toEqual([])
    expect(answered(effects)).toContain(why)
    expect(answered(effects)).toContain('AL 29.10')
  })

  it('is refused where what was chosen is a direct message', async () => {
    expect(answered(await deskWith({ isMember: yes }).handle(form('D9')))).toContain('no channel')
  })

  it('is not posted by somebody who has left it since, and waits for them', async () => {
    let isIn = true
    const desk = deskWith({ isMember: async () => isIn })
    await desk.handle(form('C7'))
    isIn = false
    const refused = await desk.handle(post)
    expect(refused.events).toEqual([])
    expect(answered(refused)).toContain('you are not in the channel')
    isIn = true
    expect((await desk.handle(post)).events).toHaveLength(1)
  })

  it('needs nobody to be asked when it stays where it was written', async () => {
    const desk = deskWith({ isMember: () => Promise.reject(new Error('asked')) })
    await desk.put(PRIVATE)
    expect(await desk.view.events('STONE-1')).toHaveLength(1)
  })
})
