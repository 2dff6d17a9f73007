import { describe, expect, it } from 'vitest'
import type { Place } from '../../src/consult/people.js'
import type { Rooms } from '../../src/desk/rooms.js'
import { type SearchView, searchTrail } from '../../src/desk/search-trail.js'
import type { PlacedRow } from '../../src/trail/features.js'
import type { Scope } from '../../src/trail/trail-store.js'
import { CORNEA, PLACE, RETINA } from '../consult/invented-people.js'

const DIRECT: Place = { ...PLACE, channel: 'D1' }

describe('a search in a long trail', () => {
  const HIDDEN: Place = { ...PLACE, channel: 'C-hidden' }
  const OWN: Place = { ...PLACE, channel: 'C-own' }
  /** Somebody who may see one private channel only. */
  const ROOMS: Rooms = {
    audienceOf: async ({ channel }) => ({ membersOf: channel }),
    isMember: async (_person, { channel }) => channel === OWN.channel,
    botIsMember: async () => true,
  }
  const SCOPE: Scope = { platform: PLACE.platform, workspace: PLACE.workspace }
  const row = (number: number, place: Place, day = '2026-03-02'): PlacedRow => ({
    ref: `STONE-${number}`,
    askedAt: `${day}T08:00:00.000Z`,
    numbers: { axialLengthMm: number },
    words: {},
    yesNo: {},
    steps: [],
    people: [],
    place,
    askedBy: RETINA,
    planHash: '',
    opinions: 0,
    partOf: [],
  })

  /** All rows have the words, best first in this order, and newest first as well. */
  function viewOver(all: readonly PlacedRow[]) {
    const asked: { pieces: number; walked: number } = { pieces: 0, walked: 0 }
    const found = ({ ref, askedAt, askedBy, place, planHash, opinions }: PlacedRow) => ({
      ref,
      askedAt,
      askedBy,
      place,
      planHash,
      opinions,
    })
    const view: SearchView = {
      find: async (_query, _scope, limit, skip = 0) => {
        asked.pieces += 1
        return all.slice(skip, skip + limit).map(found)
      },
      rowsOf: async (refs) => all.filter(({ ref }) => refs.includes(ref)),
      async *similarRows(_scope, limit, before) {
        for (const one of all.filter(({ askedAt }) => before === undefined || askedAt < before).slice(0, limit)) {
          asked.walked += 1
          yield one
        }
      },
      events: async () => [],
      plan: async () => undefined,
    }
    return { view, asked }
  }

  async function refsFound(said: string, view: SearchView) {
    const found = await searchTrail(said, { by: CORNEA, place: DIRECT }, SCOPE, 5, view, ROOMS)
    if (found.kind === 'faults') throw new Error(JSON.stringify(found.faults))
    return { refs: found.hits.map((hit) => hit.row.ref), total: found.total, whole: found.lookedThroughAll }
  }

  it('finds the one consult that somebody may see behind hundreds of better matches that they may not', async () => {
    const all = [...Array.from({ length: 1200 }, (_, index) => row(index + 1, HIDDEN)), row(1201, OWN)]
    expect(await refsFound('brown', viewOver(all).view)).toEqual({ refs: ['STONE-1201'], total: 1, whole: true })
  })

  it('finds the one consult with the fact that is asked for behind hundreds of better matches without it', async () => {
    const all = Array.from({ length: 1200 }, (_, index) => row(index === 1100 ? 30 : 24, OWN)).map((one, index) => ({
      ...one,
      ref: `STONE-${index}`,
    }))
    expect(await refsFound('brown AL>29', viewOver(all).view)).toEqual({ refs: ['STONE-1100'], total: 1, whole: true })
  })

  it('asks the database once where its best matches are all to be seen', async () => {
    const { view, asked } = viewOver(Array.from({ length: 1200 }, (_, index) => row(index + 1, OWN)))
    expect(await refsFound('brown', view)).toMatchObject({ total: 500, whole: false })
    expect(asked.pieces).toBe(1)
  })

  it('says that there may be more where it gave up', async () => {
    const all = Array.from({ length: 20_050 }, (_, index) => row(index + 1, HIDDEN))
    const { view, asked } = viewOver(all)
    view.rowsOf = async (refs) => refs.map((ref) => row(Number(ref.slice('STONE-'.length)), HIDDEN))
    expect(await refsFound('brown', view)).toEqual({ refs: [], total: 0, whole: false })
    expect(asked.pieces).toBe(4)
  })

  it('goes to the days that are asked for, however long ago they were, and no further', async () => {
    const all = [
      ...Array.from({ length: 20_100 }, (_, index) => row(index + 1, OWN, '2026-03-02')),
      row(30_001, OWN, '2024-02-29'),
      row(30_002, OWN, '2024-02-28'),
      ...Array.from({ length: 50 }, (_, index) => row(40_000 + index, OWN, '2023-12-31')),
    ]
    const { view, asked } = viewOver(all)
    expect(await refsFound('from:2024-02-29 to:2024-02', view)).toEqual({ refs: ['STONE-30001'], total: 1, whole: true })
    expect(asked.walked).toBe(2)
  })
})
