import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { openSqliteStore } from '../../../adapters/store/sqlite/open.js'
import type { SendOutcome } from '../../../src/desk/ports.js'
import type { Store } from '../../../src/desk/store.js'
import { answer, card, outboxBench, START } from './outbox-bench.js'

let store: Store
beforeEach(async () => {
  store = await openSqliteStore(':memory:', START)
})
afterEach(async () => {
  await store.close()
})

describe('a card', () => {
  it('is posted once, and what follows its root stands in its thread', async () => {
    const { bringAbout, cards, calls } = await outboxBench(store, { parts: 3 })
    await bringAbout({ outbound: [card('MARSH-7')] })
    await cards()
    expect(calls).toEqual([
      { what: 'post', part: 0, words: 'MARSH-7 as asked' },
      { what: 'post', part: 1, root: 'm1', words: 'MARSH-7 as asked' },
      { what: 'post', part: 2, root: 'm1', words: 'MARSH-7 as asked' },
    ])
  })

  it('is updated in place, once for many changes', async () => {
    const { bringAbout, cards, calls, show } = await outboxBench(store)
    await bringAbout({ outbound: [card('MARSH-7')] })
    await cards()
    show('answered')
    await bringAbout({ outbound: [card('MARSH-7')] })
    await bringAbout({ outbound: [card('MARSH-7')] })
    await cards()
    expect(calls).toEqual([
      { what: 'post', part: 0, words: 'MARSH-7 as asked' },
      { what: 'update', part: 0, message: 'm1', words: 'MARSH-7 answered' },
    ])
  })

  it('leaves alone a message that would say the same', async () => {
    const { bringAbout, cards, calls, show } = await outboxBench(store, {
      parts: 2,
      contentOf: ({ summary }, part) => (part === 0 ? summary : 'the plan'),
    })
    await bringAbout({ outbound: [card('MARSH-7')] })
    await cards()
    show('answered')
    await bringAbout({ outbound: [card('MARSH-7')] })
    await cards()
    expect(calls.filter(({ what }) => what === 'update')).toEqual([
      { what: 'update', part: 0, message: 'm1', words: 'MARSH-7 answered' },
    ])
  })

  it('that grows by a message gets that message posted, also after it had shrunk', async () => {
    const { bringAbout, cards, calls, sender } = await outboxBench(store, { parts: 1 })
    await bringAbout({ outbound: [card('MARSH-7')] })
    await cards()
    for (const parts of [2, 1, 3]) {
      sender.partsOf = () => parts
      await bringAbout({ outbound: [card('MARSH-7')] })
      await cards()
    }
    expect(calls.filter(({ what }) => what === 'post').map(({ part }) => part)).toEqual([0, 1, 2])
    expect(
      calls
        .filter(({ what }) => what === 'update')
        .map(({ part }) => part)
        .toSorted(),
      // once more for the part that is not needed for a while
    ).toEqual([0, 0, 0, 0, 1])
  })

  it('that needs fewer messages says so in those left over, once, and never posts for it', async () => {
    const { bringAbout, cards, calls, sender, show } = await outboxBench(store, {
      parts: 3,
      contentOf: ({ summary }, part) => `${summary} ${part}`,
    })
    await bringAbout({ outbound: [card('MARSH-7')] })
    await cards()
    sender.partsOf = () => 1
    for (const words of ['answered', 'decided']) {
      show(words)
      await bringAbout({ outbound: [card('MARSH-7')] })
      await cards()
    }
    const replaced = 'Soundings: a part was replaced.'
    expect(calls.slice(3)).toEqual([
      { what: 'update', part: 0, message: 'm1', words: 'MARSH-7 answered' },
      { what: 'update', part: 0, root: 'm1', message: 'm2', words: replaced },
      { what: 'update', part: 0, root: 'm1', message: 'm3', words: replaced },
      { what: 'update', part: 0, message: 'm1', words: 'MARSH-7 decided' },
    ])
  })

  it('leaves alone a part no longer needed that somebody has taken away, and tells nobody', async () => {
    const { bringAbout, cards, calls, laidOut, sender, answers } = await outboxBench(store, { parts: 2 })
    await bringAbout({ outbound: [card('MARSH-7')] })
    await cards()
    sender.partsOf = () => 1
    laidOut.push({ outcome: 'sent', message: 'm1' }, { outcome: 'refused', because: 'the message is gone' })
    await bringAbout({ outbound: [card('MARSH-7')] })
    await cards()
    await answers()
    expect(calls.map(({ what }) => what)).toEqual(['post', 'post', 'update', 'update'])
    expect(await store.view.cardStanding('MARSH-7')).toBe('posted')
  })

  it('that was certainly not sent is tried again, not before the platform allows', async () => {
    const { bringAbout, cards, calls, laidOut, clock } = await outboxBench(store)
    laidOut.push({ outcome: 'not-sent', retryAfterMs: 30_000, because: 'busy' })
    await bringAbout({ outbound: [card('MARSH-7')] })
    await cards()
    clock.pass(29_999)
    await cards()
    expect(calls).toHaveLength(1)
    clock.pass(1)
    await cards()
    expect(calls.map(({ what }) => what)).toEqual(['post', 'post'])
  })

  it('waits longer each time for a platform that stays away, up to five minutes', async () => {
    const { bringAbout, cards, calls, laidOut, clock } = await outboxBench(store)
    const away: SendOutcome = { outcome: 'not-sent', retryAfterMs: 0, because: 'no connection' }
    laidOut.push(...Array.from({ length: 7 }, () => away))
    await bringAbout({ outbound: [card('MARSH-7')] })
    const tries: number[] = []
    for (let second = 0; second <= 1000; second += 1) {
      const before = calls.length
      await cards()
      if (calls.length > before) tries.push(second)
      clock.pass(1000)
    }
    expect(tries).toEqual([0, 2, 7, 22, 82, 382, 682, 982])
  })

  it('of unknown fate is looked for after 2, 10 and 60 seconds, and never posted again on its own', async () => {
    const { bringAbout, cards, answers, calls, laidOut, clock } = await outboxBench(store)
    laidOut.push({ outcome: 'unknown', because: 'no answer' })
    await bringAbout({ outbound: [card('MARSH-7')] })
    const looks: number[] = []
    for (let second = 0; second <= 300; second += 1) {
      const before = calls.length
      await cards()
      if (calls.length > before && calls.at(-1)?.what === 'look') looks.push(second)
      clock.pass(1000)
    }
    expect(looks).toEqual([2, 10, 60])
    expect(calls.filter(({ what }) => what === 'post')).toHaveLength(1)
    expect(await store.view.cardStanding('MARSH-7')).toBe('possibly-posted')
    await answers()
    expect(calls.at(-1)?.words).toContain('post again MARSH-7')
  })

  it('that was found after all is brought up to date and goes on', async () => {
    const { bringAbout, cards, calls, laidOut, looks, clock, show } = await outboxBench(store, { parts: 2 })
    laidOut.push({ outcome: 'unknown', because: 'no answer' })
    looks.push('not-found', { found: 'there' })
    await bringAbout({ outbound: [card('MARSH-7')] })
    await cards()
    show('answered')
    await bringAbout({ outbound: [card('MARSH-7')] })
    clock.pass(2_000)
    await cards()
    clock.pass(8_000)
    await cards()
    expect(calls.map(({ what, part, message, root }) => [what, part, message ?? root])).toEqual([
      ['post', 0, undefined],
      ['look', 0, undefined],
      ['look', 0, undefined],
      ['update', 0, 'there'],
      ['post', 1, 'there'],
    ])
  })

  it('is posted again when a person asks, after a platform that cannot be asked left it open', async () => {
    const { bringAbout, cards, answers, calls, laidOut, looks, clock } = await outboxBench(store)
    laidOut.push({ outcome: 'unknown', because: 'no answer' })
    looks.push('cannot-look')
    await bringAbout({ outbound: [card('MARSH-7')] })
    await cards()
    clock.pass(2_000)
    await cards()
    await answers()
    expect(calls.at(-1)?.words).toContain('possibly posted')
    await bringAbout({ postAgain: ['MARSH-7'] })
    await cards()
    expect(calls.map(({ what }) => what)).toEqual(['post', 'look', 'answer', 'post'])
  })

  it('that the platform refuses is kept, and its asker is told', async () => {
    const { bringAbout, cards, answers, calls, laidOut } = await outboxBench(store)
    laidOut.push({ outcome: 'refused', because: 'Soundings is not in this channel' })
    await bringAbout({ outbound: [card('MARSH-7')] })
    await cards()
    await answers()
    expect(calls.at(-1)?.words).toContain('Soundings is not in this channel')
    expect(await store.standing()).toMatchObject({ outboxRefused: 1 })
  })

  it('whose sender breaks down may have been posted', async () => {
    const { bringAbout, cards, laidOut } = await outboxBench(store)
    laidOut.push(new Error('a fault of ours'))
    await bringAbout({ outbound: [card('MARSH-7')] })
    await cards()
    expect(await store.view.cardStanding('MARSH-7')).toBe('possibly-posted')
  })

  it('repeats an update of unknown fate, since that changes nothing', async () => {
    const { bringAbout, cards, calls, laidOut, clock } = await outboxBench(store)
    await bringAbout({ outbound: [card('MARSH-7')] })
    await cards()
    laidOut.push({ outcome: 'unknown', because: 'no answer' })
    await bringAbout({ outbound: [card('MARSH-7')] })
    await cards()
    clock.pass(2_000)
    await cards()
    expect(calls.map(({ what }) => what)).toEqual(['post', 'update', 'update'])
  })

  it('leaves its channel a rest, while another channel goes on', async () => {
    const { bringAbout, cards, calls, clock } = await outboxBench(store, { spacingMs: 1_100 })
    await bringAbout({ outbound: [card('MARSH-7'), card('QUAY-2'), card('HEATH-4', 'C2')] })
    await cards()
    expect(calls.map(({ words }) => words)).toEqual(['MARSH-7 as asked', 'HEATH-4 as asked'])
    clock.pass(1_099)
    await cards()
    expect(calls).toHaveLength(2)
    clock.pass(1)
    await cards()
    expect(calls.at(-1)?.words).toBe('QUAY-2 as asked')
  })
})

describe('a card whose outcome could not be written down', () => {
  it('is settled before anything else is sent, and never posted a second time', async () => {
    const failing = { times: 1 }
    const full: Store = {
      ...store,
      outbox: {
        ...store.outbox,
        settle: async (...outcome) => {
          failing.times -= 1
          if (failing.times >= 0) throw new Error('database or disk is full')
          await store.outbox.settle(...outcome)
        },
      },
    }
    const { bringAbout, cards, calls } = await outboxBench(full)
    await bringAbout({ outbound: [card('MARSH-7'), card('QUAY-2')] })
    await expect(cards()).rejects.toThrow('disk is full')
    failing.times = 1
    await expect(cards()).rejects.toThrow('disk is full')
    expect(calls).toHaveLength(1)
    await cards()
    expect(calls.map(({ words }) => words)).toEqual(['MARSH-7 as asked', 'QUAY-2 as asked'])
    expect(await store.view.cardStanding('MARSH-7')).toBe('posted')
  })

  it('has its other messages on their way with its first one, whatever stops the program after that', async () => {
    const { bringAbout, cards, calls } = await outboxBench(
      { ...store, outbox: { ...store.outbox, addParts: () => Promise.reject(new Error('the program stopped here')) } },
      { parts: 2 },
    )
    await bringAbout({ outbound: [card('MARSH-7')] })
    await cards()
    expect(calls.map(({ part }) => part)).toEqual([0, 1])
  })
})

describe('an answer', () => {
  it('is given once, and not repeated when its fate is unknown', async () => {
    const { bringAbout, answers, calls, laidOut, clock } = await outboxBench(store)
    laidOut.push({ outcome: 'unknown', because: 'no answer' })
    await bringAbout({ outbound: [answer('one'), answer('two')] })
    await answers()
    clock.pass(600_000)
    await answers()
    expect(calls).toHaveLength(2)
    expect(await store.standing()).toMatchObject({ outboxUnknown: 1, outboxQueued: 0 })
  })

  it('that comes too late to help is given up', async () => {
    const { bringAbout, answers, calls, laidOut, clock } = await outboxBench(store)
    laidOut.push({ outcome: 'not-sent', retryAfterMs: 3_600_001, because: 'away' })
    await bringAbout({ outbound: [answer('one')] })
    await answers()
    clock.pass(3_600_001)
    await answers()
    expect(calls).toHaveLength(1)
    expect(await store.standing()).toMatchObject({ outboxRefused: 1, outboxQueued: 0 })
  })
})
