import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { openSqliteStore } from '../../../adapters/store/sqlite/open.js'
import { noteCard } from '../../../src/cards/short-cards.js'
import type { Store } from '../../../src/desk/store.js'
import { PLACE } from '../../consult/invented-people.js'
import { card, outboxBench, START } from './outbox-bench.js'

let store: Store
beforeEach(async () => {
  store = await openSqliteStore(':memory:', START)
})
afterEach(() => store.close())

const note = { kind: 'thread-note', ref: 'MARSH-7', place: PLACE, card: noteCard('It was changed') } as const

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
