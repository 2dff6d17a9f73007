import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { openSqliteStore } from '../../../adapters/store/sqlite/open.js'
import { noteCard } from '../../../src/cards/short-cards.js'
import type { DirectMessage, SendOutcome } from '../../../src/desk/ports.js'
import type { Store } from '../../../src/desk/store.js'
import { PLACE } from '../../consult/invented-people.js'
import { card, outboxBench, START } from './outbox-bench.js'

let store: Store
beforeEach(async () => {
  store = await openSqliteStore(':memory:', START)
})
afterEach(() => store.close())

const note = { kind: 'thread-note', ref: 'MARSH-7', place: PLACE, card: noteCard('It was changed') } as const

describe('a note for one person alone', () => {
  const alone = { ...note, mentions: ['slack:T1:U2'], direct: { to: 'slack:T1:U2', card: noteCard('For you alone') } }
  const withWay = async (...outcomes: readonly SendOutcome[]) => {
    const bench = await outboxBench(store)
    const said: DirectMessage[] = []
    const looked: string[] = []
    const left = [...outcomes]
    bench.sender.direct = async (message) => {
      said.push(message)
      return left.shift() ?? { outcome: 'sent', message: 'd1' }
    }
    bench.sender.lookForDirect = async ({ mark }) => {
      looked.push(mark)
      return 'not-found'
    }
    await bench.bringAbout({ outbound: [card('MARSH-7')] })
    await bench.cards()
    await bench.bringAbout({ outbound: [alone] })
    await bench.cards()
    return { ...bench, said, looked }
  }

  it('is said to them, with where the consult stands, and to nobody else', async () => {
    const { said, calls } = await withWay()
    expect(said).toMatchObject([{ to: 'slack:T1:U2', ref: 'MARSH-7', place: PLACE, root: 'm1' }])
    expect(JSON.stringify(said[0]?.card)).toContain('For you alone')
    expect(calls.map(({ what }) => what)).toEqual(['post'])
  })

  it('stands in the thread, once, where there is no way to them', async () => {
    const { said, calls } = await withWay({ outcome: 'refused', because: 'no direct messages' })
    expect(said).toHaveLength(1)
    expect(calls.map(({ what, root, words }) => [what, root, words])).toEqual([
      ['post', undefined, 'MARSH-7 as asked'],
      ['post', 'm1', 'It was changed'],
    ])
  })

  it('that is only late is said to them later, and not in the thread', async () => {
    const bench = await withWay({ outcome: 'not-sent', retryAfterMs: 1_000, because: 'a pause' })
    bench.clock.pass(10_000)
    await bench.cards()
    expect(bench.said).toHaveLength(2)
    expect(bench.calls.map(({ what }) => what)).toEqual(['post'])
  })

  it('of unknown fate is looked for with them and in the thread, and never said again', async () => {
    const bench = await withWay({ outcome: 'unknown', because: 'no answer' })
    for (const ms of [3_000, 11_000, 61_000, 600_000]) {
      bench.clock.pass(ms)
      await bench.cards()
    }
    expect(bench.said).toHaveLength(1)
    expect(bench.looked).toHaveLength(3)
    expect(bench.calls.map(({ what }) => what)).toEqual(['post', 'look', 'look', 'look'])
    expect(await store.standing()).toMatchObject({ outboxUnknown: 1, outboxQueued: 0 })
  })

  it('waits for no card: it is said without its link', async () => {
    const bench = await outboxBench(store)
    const said: DirectMessage[] = []
    bench.sender.direct = async (message) => {
      said.push(message)
      return { outcome: 'sent', message: 'd1' }
    }
    await bench.bringAbout({ outbound: [alone] })
    await bench.cards()
    expect(said).toMatchObject([{ to: 'slack:T1:U2' }])
    expect(said[0]?.root).toBeUndefined()
  })
})

describe('a note of a thread', () => {
  it('waits for its card, is posted under it once, and is never changed', async () => {
    const bench = await outboxBench(store)
    await bench.bringAbout({ outbound: [note, card('MARSH-7')] })
    await bench.cards()
    bench.clock.pass(6_000)
    await bench.cards()
    expect(bench.calls.map(({ what, root, words }) => [what, root, words])).toEqual([
      ['post', undefined, 'MARSH-7 as asked'],
      ['post', 'm1', 'It was changed'],
    ])
    await bench.bringAbout({ outbound: [card('MARSH-7')] })
    await bench.cards()
    expect(bench.calls.map(({ what }) => what)).toEqual(['post', 'post', 'update'])
  })

  it('of unknown fate is looked for and never posted again', async () => {
    const bench = await outboxBench(store)
    await bench.bringAbout({ outbound: [card('MARSH-7')] })
    await bench.cards()
    bench.laidOut.push({ outcome: 'unknown', because: 'no answer' })
    await bench.bringAbout({ outbound: [note] })
    await bench.cards()
    for (const ms of [3_000, 11_000, 61_000, 600_000]) {
      bench.clock.pass(ms)
      await bench.cards()
    }
    expect(bench.calls.map(({ what }) => what)).toEqual(['post', 'post', 'look', 'look', 'look'])
    expect(await store.standing()).toMatchObject({ outboxUnknown: 1, outboxQueued: 0 })
  })
})
