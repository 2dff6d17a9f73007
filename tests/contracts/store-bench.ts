import { expect } from 'vitest'
import type { CommentMade, ConsultEvent, OpinionGiven } from '../../src/consult/events.js'
import { type Effects, NO_EFFECTS, type Store } from '../../src/desk/store.js'
import { at, CORNEA, RETINA } from '../consult/invented-people.js'
import { askedAs, said } from './store-contract-cases.js'

/** The store of the test that runs, and ways to bring effects about in it. */
export interface StoreBench {
  readonly store: () => Store
  /** Puts one delivery in and brings these effects about by it. */
  readonly bringAbout: (effects: Partial<Effects>) => Promise<'committed' | 'conflict'>
  readonly ask: (ref: string, question?: string, changes?: Parameters<typeof askedAs>[2]) => Promise<ConsultEvent>
}

export function storeBench(store: () => Store): StoreBench {
  let deliveries = 0
  const bringAbout: StoreBench['bringAbout'] = async (effects) => {
    deliveries += 1
    await store().inbox.put({ key: `delivery ${deliveries}`, inbound: said('x') }, at(0))
    const waiting = await store().inbox.next(at(59))
    if (!waiting) throw new Error('the delivery of this test is waiting')
    return store().inbox.commit(waiting.seq, { ...NO_EFFECTS, ...effects }, at(1))
  }
  return {
    store,
    bringAbout,
    async ask(ref, question = 'Chop or manual?', changes = {}) {
      const { event, plan } = askedAs(ref, question, changes)
      expect(await bringAbout({ events: [event], plans: [plan] })).toBe('committed')
      return event
    },
  }
}

export const agreed = (ref: string, by = CORNEA, sentence?: string): OpinionGiven => ({
  type: 'opinion-given',
  by,
  at: at(3),
  ref,
  revision: 1,
  opinion: { kind: 'agree', steps: [], ...(sentence === undefined ? {} : { sentence }) },
})

export const comment = (ref: string, text: string, by = RETINA): CommentMade => ({
  type: 'comment-made',
  by,
  at: at(4),
  ref,
  text,
})
