import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { openSqliteStore } from '../../../adapters/store/sqlite/open.js'
import { startWorkers } from '../../../adapters/workers/start.js'
import { NO_EFFECTS, type Store } from '../../../src/desk/store.js'
import { said } from '../../contracts/store-contract-cases.js'
import { answer, card, chat, START, silent } from './outbox-bench.js'

let store: Store
beforeEach(async () => {
  store = await openSqliteStore(':memory:', START)
})
afterEach(async () => {
  await store.close()
})

describe('the workers together', () => {
  it('carry a delivery through to its answer as soon as they are woken, and end cleanly', async () => {
    const { sender, calls } = chat()
    let answeredNow = () => {}
    const wasAnswered = new Promise<void>((resolve) => {
      answeredNow = resolve
    })
    const workers = startWorkers({
      store,
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
    await store.inbox.put({ key: 'k1', inbound: said('hello') }, new Date().toISOString())
    workers.wake()
    await wasAnswered
    await workers.stop()
    expect(calls).toHaveLength(1)
    expect(await store.standing()).toMatchObject({ inboxWaiting: 0, outboxQueued: 0, outboxUnknown: 0 })
  })

  it('leave what waits for a chat that is off until it is on again', async () => {
    const workers = startWorkers({
      store,
      handle: async () => ({ ...NO_EFFECTS, outbound: [card('MARSH-7')] }),
      cardFor: async () => undefined,
      senders: {},
      clock: { now: () => new Date().toISOString() },
      log: silent,
    })
    await store.inbox.put({ key: 'k1', inbound: said('hello') }, START)
    workers.wake()
    while ((await store.standing()).inboxWaiting > 0) await new Promise((resolve) => setTimeout(resolve, 1))
    await workers.stop()
    expect(await store.view.cardStanding('MARSH-7')).toBe('waiting')
  })
})
