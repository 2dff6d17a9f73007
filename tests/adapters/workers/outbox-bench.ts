import { sendNext } from '../../../adapters/workers/outbox-work.js'
import type { OutboxParts } from '../../../adapters/workers/settling.js'
import { later } from '../../../adapters/workers/times.js'
import type { Card } from '../../../src/cards/card.js'
import { noteCard } from '../../../src/cards/short-cards.js'
import type { Posting, Sender, SendOutcome } from '../../../src/desk/ports.js'
import { type Effects, NO_EFFECTS, type Store } from '../../../src/desk/store.js'
import { ASKER, PLACE } from '../../consult/invented-people.js'
import { said } from '../../contracts/store-contract-cases.js'

export const START = '2026-03-02T18:00:00.000Z'
const SENT: SendOutcome = { outcome: 'sent', message: 'm' }

/** A clock that stands still until the test moves it. */
export function stillClock() {
  let now = START
  return {
    now: () => now,
    pass(ms: number) {
      now = later(now, ms)
    },
  }
}

/** A chat of the test's own: it does what the test laid out for it, then takes everything. */
export function chat(parts = 1) {
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

export const silent = { warn() {}, error() {} }

/** The outbox of a store in memory, its lanes of one chat, and a clock that the test moves. */
export async function outboxBench(
  store: Store,
  options: { parts?: number; spacingMs?: number; contentOf?: Sender['contentOf'] } = {},
) {
  const clock = stillClock()
  const slack = chat(options.parts)
  if (options.contentOf) slack.sender.contentOf = options.contentOf
  let shown = 'as asked'
  let deliveries = 0
  const parts = (kind: 'answer' | 'part'): OutboxParts => ({
    outbox: store.outbox,
    lane: { platform: 'slack', kind },
    sender: slack.sender,
    spacingMs: options.spacingMs ?? 0,
    posted() {},
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
    clock,
    ...slack,
    show(words: string) {
      shown = words
    },
    async bringAbout(effects: Partial<Effects>) {
      deliveries += 1
      await store.inbox.put({ key: `delivery ${deliveries}`, inbound: said('x') }, clock.now())
      const waiting = await store.inbox.next(clock.now())
      await store.inbox.commit(waiting?.seq ?? 0, { ...NO_EFFECTS, ...effects }, clock.now())
    },
    cards: () => untilDone(sendPart),
    answers: () => untilDone(sendAnswer),
  }
}

export const card = (ref: string, channel = 'C1') =>
  ({ kind: 'consult-card', ref, place: { ...PLACE, channel }, tell: { to: ASKER, place: PLACE, reply: { to: 'here' } } }) as const
export const answer = (words: string) => ({ kind: 'answer', to: ASKER, place: PLACE, reply: {}, card: noteCard(words) }) as const
