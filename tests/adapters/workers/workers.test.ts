import { afterEach, describe, expect, it } from 'vitest'
import { openSqliteStore } from '../../../adapters/store/sqlite/open.js'
import { handleNext, type InboxParts } from '../../../adapters/workers/inbox-work.js'
import { type OutboxParts, sendNext } from '../../../adapters/workers/outbox-work.js'
import { startWorkers } from '../../../adapters/workers/start.js'
import { later } from '../../../adapters/workers/times.js'
import type { Card } from '../../../src/cards/card.js'
import { noteCard } from '../../../src/cards/short-cards.js'
import type { Posting, Sender, SendOutcome } from '../../../src/desk/ports.js'
import { type Effects, NO_EFFECTS, type Store } from '../../../src/desk/store.js'
import { ASKER, CORNEA, PLACE } from '../../consult/invented-people.js'
import { askedAs, said } from '../../contracts/store-contract-cases.js'

const START = '2026-03-02T18:00:00.000Z'
const SENT: SendOutcome = { outcome: 'sent', message: 'm' }

/** A clock that stands still until the test moves it. */
function stillClock() {
  let now = START
  return {
    now: () => now,
    pass(ms: number) {
      now = later(now, ms)
    },
  }
}

/** A chat of the test's own: it does what the test laid out for it, then takes everything. */
function chat(parts = 1) {
  const calls: { what: 'post' | 'update' | 'look' | 'answer'; part?: number; message?: string; root?: string; words: string }[] =
    []
  const laidOut: (SendOutcome | Error)[] = []
  const looks: (Awaited<ReturnType<Sender['lookFor']>> | Error)[] = []
  let messages = 0
  const outcome = (): SendOutcome => {
    const next = laidOut.shift() ?? SENT
    if (next instanceof Error) throw next
    if (next.outcome !== 'sent') return next
    messages += 1
    return { outcome: 'sent', message: `m${messages}` }
  }
  const about = ({ card, part, root }: Posting) => ({ part, words: card.summary, ...(root === undefined ? {} : { root }) })
  const sender: Sender = {
    partsOf: () => parts,
    async post(posting) {
      calls.push({ what: 'post', ...about(posting) })
      return outcome()
    },
    async update(posting, message) {
      calls.push({ what: 'update', message, ...about(posting) })
      return outcome()
    },
    async lookFor(posting) {
      calls.push({ what: 'look', ...about(posting) })
      const next = looks.shift() ?? 'not-found'
      if (next instanceof Error) throw next
      return next
    },
    async answer({ card }) {
      calls.push({ what: 'answer', words: JSON.stringify(card.first) })
      return outcome()
    },
  }
  return { sender, calls, laidOut, looks }
}

const silent = { warn() {}, error() {} }

let store: Store | undefined
afterEach(async () => {
  await store?.close()
  store = undefined
})

async function bench(options: { parts?: number; spacingMs?: number; contentOf?: Sender['contentOf'] } = {}) {
  const clock = stillClock()
  const opened = await openSqliteStore(':memory:', START)
  store = opened
  const slack = chat(options.parts)
  if (options.contentOf) slack.sender.contentOf = options.contentOf
  let shown = 'as asked'
  let deliveries = 0
  const parts = (kind: 'answer' | 'part'): OutboxParts => ({
    outbox: opened.outbox,
    lane: { platform: 'slack', kind },
    sender: slack.sender,
    spacingMs: options.spacingMs ?? 0,
    cardFor: async (ref): Promise<Card> => ({ ...noteCard(ref), summary: `${ref} ${shown}` }),
    clock,
    log: silent,
  })
  const sendPart = sendNext(parts('part'))
  const sendAnswer = sendNext(parts('answer'))
  const untilDone = async (step: () => Promise<boolean>) => {
    let steps = 0
    while (await step()) {
      steps += 1
      if (steps > 50) throw new Error('the outbox does not come to rest')
    }
    return steps
  }
  return {
    store: opened,
    clock,
    ...slack,
    show(words: string) {
      shown = words
    },
    async bringAbout(effects: Partial<Effects>) {
      deliveries += 1
      await opened.inbox.put({ key: `delivery ${deliveries}`, inbound: said('x') }, clock.now())
      const waiting = await opened.inbox.next(clock.now())
      await opened.inbox.commit(waiting?.seq ?? 0, { ...NO_EFFECTS, ...effects }, clock.now())
    },
    cards: () => untilDone(sendPart),
    answers: () => untilDone(sendAnswer),
  }
}

const card = (ref: string, channel = 'C1') =>
  ({ kind: 'consult-card', ref, place: { ...PLACE, channel }, tell: { to: ASKER, place: PLACE, reply: { to: 'here' } } }) as const
const answer = (words: string) => ({ kind: 'answer', to: ASKER, place: PLACE, reply: {}, card: noteCard(words) }) as const

describe('a card', () => {
  it('is posted once, and what follows its root stands in its thread', async () => {
    const { bringAbout, cards, calls } = await bench({ parts: 3 })
    await bringAbout({ outbound: [card('MARSH-7')] })
    await cards()
    expect(calls).toEqual([
      { what: 'post', part: 0, words: 'MARSH-7 as asked' },
      { what: 'post', part: 1, root: 'm1', words: 'MARSH-7 as asked' },
      { what: 'post', part: 2, root: 'm1', words: 'MARSH-7 as asked' },
    ])
  })

  it('is updated in place, once for many changes', async () => {
    const { bringAbout, cards, calls, show } = await bench()
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
    const { bringAbout, cards, calls, show } = await bench({
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
    const { bringAbout, cards, calls, sender } = await bench({ parts: 1 })
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
    ).toEqual([0, 0, 0, 1])
  })

  it('that was certainly not sent is tried again, not before the platform allows', async () => {
    const { bringAbout, cards, calls, laidOut, clock } = await bench()
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
    const { bringAbout, cards, calls, laidOut, clock } = await bench()
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
    const { bringAbout, cards, answers, calls, laidOut, clock, store: opened } = await bench()
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
    expect(await opened.view.cardStanding('MARSH-7')).toBe('possibly-posted')
    await answers()
    expect(calls.at(-1)?.words).toContain('post again MARSH-7')
  })

  it('that was found after all is brought up to date and goes on', async () => {
    const { bringAbout, cards, calls, laidOut, looks, clock, show } = await bench({ parts: 2 })
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
    const { bringAbout, cards, answers, calls, laidOut, looks, clock } = await bench()
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
    const { bringAbout, cards, answers, calls, laidOut, store: opened } = await bench()
    laidOut.push({ outcome: 'refused', because: 'Soundings is not in this channel' })
    await bringAbout({ outbound: [card('MARSH-7')] })
    await cards()
    await answers()
    expect(calls.at(-1)?.words).toContain('Soundings is not in this channel')
    expect(await opened.standing()).toMatchObject({ outboxRefused: 1 })
  })

  it('whose sender breaks down may have been posted', async () => {
    const { bringAbout, cards, laidOut, store: opened } = await bench()
    laidOut.push(new Error('a fault of ours'))
    await bringAbout({ outbound: [card('MARSH-7')] })
    await cards()
    expect(await opened.view.cardStanding('MARSH-7')).toBe('possibly-posted')
  })

  it('repeats an update of unknown fate, since that changes nothing', async () => {
    const { bringAbout, cards, calls, laidOut, clock } = await bench()
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
    const { bringAbout, cards, calls, clock } = await bench({ spacingMs: 1_100 })
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

describe('an answer', () => {
  it('is given once, and not repeated when its fate is unknown', async () => {
    const { bringAbout, answers, calls, laidOut, clock, store: opened } = await bench()
    laidOut.push({ outcome: 'unknown', because: 'no answer' })
    await bringAbout({ outbound: [answer('one'), answer('two')] })
    await answers()
    clock.pass(600_000)
    await answers()
    expect(calls).toHaveLength(2)
    expect(await opened.standing()).toMatchObject({ outboxUnknown: 1, outboxQueued: 0 })
  })

  it('that comes too late to help is given up', async () => {
    const { bringAbout, answers, calls, laidOut, clock, store: opened } = await bench()
    laidOut.push({ outcome: 'not-sent', retryAfterMs: 3_600_001, because: 'away' })
    await bringAbout({ outbound: [answer('one')] })
    await answers()
    clock.pass(3_600_001)
    await answers()
    expect(calls).toHaveLength(1)
    expect(await opened.standing()).toMatchObject({ outboxRefused: 1, outboxQueued: 0 })
  })
})

describe('the inbox', () => {
  async function inbox(handle: InboxParts['handle']) {
    const clock = stillClock()
    const opened = await openSqliteStore(':memory:', START)
    store = opened
    let refs = 0
    const parts: InboxParts = {
      inbox: opened.inbox,
      view: opened.view,
      handle,
      clock,
      log: silent,
      errorRef: () => {
        refs += 1
        return `E-${refs}`
      },
      committed: () => {},
    }
    const told = async () => {
      const outgoing = await opened.outbox.next(clock.now(), { platform: 'slack', kind: 'answer', heldChannels: [] })
      if (outgoing?.kind !== 'answer') return undefined
      await opened.outbox.settle(outgoing.seq, { state: 'sent' }, clock.now())
      return JSON.stringify(outgoing.outbound.card)
    }
    return {
      store: opened,
      clock,
      told,
      put: (key: string, inbound = said('x')) => opened.inbox.put({ key, inbound }, clock.now()),
      step: () => handleNext(parts),
    }
  }

  it('decides again when the trail moved on meanwhile', async () => {
    const { event, plan } = askedAs('MARSH-7', 'Chop?')
    let expected = 7
    const {
      put,
      step,
      store: opened,
    } = await inbox(async () => {
      const effects = { ...NO_EFFECTS, events: [event], expected, plans: [plan] }
      expected = 0
      return effects
    })
    await put('k1')
    expect(await step()).toBe(true)
    expect(await opened.view.events('MARSH-7')).toHaveLength(1)
    expect(await step()).toBe(false)
  })

  it('tries five times what fails inside, tells the person at the first and the last, and loses nothing', async () => {
    let handled = 0
    const {
      put,
      step,
      clock,
      told,
      store: opened,
    } = await inbox(async () => {
      handled += 1
      throw new Error('a fault of ours')
    })
    await put('k1')
    await step()
    expect(await told()).toMatch(/reference E-1.*tried again by itself/)
    for (const wait of [2_000, 10_000, 60_000, 300_000]) {
      clock.pass(wait - 1)
      expect(await step()).toBe(false)
      clock.pass(1)
      expect(await step()).toBe(true)
    }
    expect(handled).toBe(5)
    expect(await told()).toMatch(/not tried again by itself.*/)
    expect(await told()).toBeUndefined()
    clock.pass(86_400_000)
    expect(await step()).toBe(false)
    expect(await opened.standing()).toMatchObject({ inboxFailed: 1, inboxWaiting: 0 })
    expect(await put('k1')).toBe('duplicate')
  })

  it('goes on with the next delivery while one waits for its next try', async () => {
    const seen: string[] = []
    const { put, step } = await inbox(async (inbound) => {
      if (inbound.kind !== 'text') return NO_EFFECTS
      seen.push(inbound.text)
      if (inbound.text === 'bad') throw new Error('a fault of ours')
      return NO_EFFECTS
    })
    await put('k1', said('bad'))
    await put('k2', said('good'))
    await step()
    await step()
    expect(seen).toEqual(['bad', 'good'])
  })

  it('does not answer talk that was only overheard', async () => {
    const { put, step, told } = await inbox(async () => {
      throw new Error('a fault of ours')
    })
    const overheard = said('x', CORNEA)
    await put('k1', overheard.kind === 'text' ? { ...overheard, addressed: false } : overheard)
    await step()
    expect(await told()).toBeUndefined()
  })
})

describe('the workers together', () => {
  it('carry a delivery through to its answer as soon as they are woken, and end cleanly', async () => {
    const opened = await openSqliteStore(':memory:', START)
    store = opened
    const { sender, calls } = chat()
    let answeredNow = () => {}
    const wasAnswered = new Promise<void>((resolve) => {
      answeredNow = resolve
    })
    const workers = startWorkers({
      store: opened,
      handle: async (inbound) => ({ ...NO_EFFECTS, outbound: [{ ...answer('heard'), to: inbound.by }] }),
      cardFor: async () => undefined,
      senders: {
        slack: {
          sender: {
            ...sender,
            async answer(outbound) {
              const outcome = await sender.answer(outbound)
              answeredNow()
              return outcome
            },
          },
          spacingMs: 0,
        },
      },
      clock: { now: () => new Date().toISOString() },
      log: silent,
      // Longer than the test may take: only being woken can make it pass.
      intervalMs: 60_000,
    })
    await opened.inbox.put({ key: 'k1', inbound: said('hello') }, new Date().toISOString())
    workers.wake()
    await wasAnswered
    await workers.stop()
    expect(calls).toHaveLength(1)
    expect(await opened.standing()).toMatchObject({ inboxWaiting: 0, outboxQueued: 0, outboxUnknown: 0 })
  })

  it('leave what waits for a chat that is off until it is on again', async () => {
    const opened = await openSqliteStore(':memory:', START)
    store = opened
    const workers = startWorkers({
      store: opened,
      handle: async () => ({ ...NO_EFFECTS, outbound: [card('MARSH-7')] }),
      cardFor: async () => undefined,
      senders: {},
      clock: { now: () => new Date().toISOString() },
      log: silent,
    })
    await opened.inbox.put({ key: 'k1', inbound: said('hello') }, START)
    workers.wake()
    while ((await opened.standing()).inboxWaiting > 0) await new Promise((resolve) => setTimeout(resolve, 1))
    await workers.stop()
    expect(await opened.view.cardStanding('MARSH-7')).toBe('waiting')
  })
})
