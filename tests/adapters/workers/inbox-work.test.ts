import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { openSqliteStore } from '../../../adapters/store/sqlite/open.js'
import { handleNext, type InboxParts } from '../../../adapters/workers/inbox-work.js'
import { NO_EFFECTS, type Store } from '../../../src/desk/store.js'
import { CORNEA } from '../../consult/invented-people.js'
import { askedAs, said } from '../../contracts/store-contract-cases.js'
import { START, silent, stillClock } from './outbox-bench.js'

let store: Store
beforeEach(async () => {
  store = await openSqliteStore(':memory:', START)
})
afterEach(async () => {
  await store.close()
})

describe('the inbox', () => {
  async function inbox(handle: InboxParts['handle']) {
    const clock = stillClock()
    let refs = 0
    const parts: InboxParts = {
      inbox: store.inbox,
      view: store.view,
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
      const outgoing = await store.outbox.next(clock.now(), { platform: 'slack', kind: 'answer', heldChannels: [] })
      if (outgoing?.kind !== 'answer') return undefined
      await store.outbox.settle(outgoing.seq, { state: 'sent' }, clock.now())
      return JSON.stringify(outgoing.outbound.card)
    }
    return {
      clock,
      told,
      put: (key: string, inbound = said('x')) => store.inbox.put({ key, inbound }, clock.now()),
      step: () => handleNext(parts),
    }
  }

  it('decides again when the trail moved on meanwhile', async () => {
    const { event, plan } = askedAs('MARSH-7', 'Chop?')
    let expected = 7
    const { put, step } = await inbox(async () => {
      const effects = { ...NO_EFFECTS, events: [event], expected, plans: [plan] }
      expected = 0
      return effects
    })
    await put('k1')
    expect(await step()).toBe(true)
    expect(await store.view.events('MARSH-7')).toHaveLength(1)
    expect(await step()).toBe(false)
  })

  it('tries five times what fails inside, tells the person at the first and the last, and loses nothing', async () => {
    let handled = 0
    const { put, step, clock, told } = await inbox(async () => {
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
    expect(await store.standing()).toMatchObject({ inboxFailed: 1, inboxWaiting: 0 })
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
