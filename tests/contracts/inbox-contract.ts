import { describe, expect, it } from 'vitest'
import { NO_EFFECTS } from '../../src/desk/store.js'
import { at } from '../consult/invented-people.js'
import type { StoreBench } from './store-bench.js'
import { askedAs, said } from './store-contract-cases.js'

export function inboxContract(bench: StoreBench): void {
  describe('the inbox', () => {
    it('gives a delivery back as it was put in', async () => {
      await bench.store().inbox.put({ key: 'k1', inbound: said('AL 29.60 \u2212 "quoted"\nsecond line') }, at(0))
      expect(await bench.store().inbox.next(at(0))).toEqual({
        seq: expect.any(Number),
        attempts: 0,
        inbound: said('AL 29.60 \u2212 "quoted"\nsecond line'),
      })
    })

    it('takes the same delivery once, also after it was handled', async () => {
      expect(await bench.store().inbox.put({ key: 'k1', inbound: said('one') }, at(0))).toBe('new')
      expect(await bench.store().inbox.put({ key: 'k1', inbound: said('one') }, at(0))).toBe('duplicate')
      const waiting = await bench.store().inbox.next(at(1))
      await bench.store().inbox.commit(waiting?.seq ?? 0, NO_EFFECTS, at(1))
      expect(await bench.store().inbox.put({ key: 'k1', inbound: said('one') }, at(2))).toBe('duplicate')
      expect(await bench.store().inbox.next(at(3))).toBeUndefined()
    })

    it('gives the oldest first', async () => {
      await bench.store().inbox.put({ key: 'a', inbound: said('first') }, at(0))
      await bench.store().inbox.put({ key: 'b', inbound: said('second') }, at(0))
      const first = await bench.store().inbox.next(at(1))
      expect(first?.inbound).toMatchObject({ text: 'first' })
      await bench.store().inbox.commit(first?.seq ?? 0, NO_EFFECTS, at(1))
      expect((await bench.store().inbox.next(at(1)))?.inbound).toMatchObject({ text: 'second' })
    })

    it('brings nothing about twice for one delivery', async () => {
      await bench.store().inbox.put({ key: 'k1', inbound: said('one') }, at(0))
      const seq = (await bench.store().inbox.next(at(1)))?.seq ?? 0
      const { event, plan } = askedAs('MARSH-7', 'Chop?')
      expect(await bench.store().inbox.commit(seq, { ...NO_EFFECTS, events: [event], plans: [plan] }, at(1))).toBe('committed')
      const other = askedAs('QUAY-2', 'Chop?')
      expect(await bench.store().inbox.commit(seq, { ...NO_EFFECTS, events: [other.event], plans: [other.plan] }, at(1))).toBe(
        'conflict',
      )
      expect(await bench.store().view.events('QUAY-2')).toEqual([])
    })

    it('keeps a failed delivery for another try, and parks it in the end', async () => {
      await bench.store().inbox.put({ key: 'k1', inbound: said('one') }, at(0))
      const seq = (await bench.store().inbox.next(at(1)))?.seq ?? 0
      await bench.store().inbox.fail(seq, { at: at(1), errorRef: 'E-1', retryAt: at(5) })
      expect(await bench.store().inbox.next(at(4))).toBeUndefined()
      expect(await bench.store().inbox.nextDue()).toBe(at(5))
      expect(await bench.store().inbox.next(at(5))).toMatchObject({ seq, attempts: 1 })
      await bench.store().inbox.fail(seq, { at: at(5), errorRef: 'E-2' })
      expect(await bench.store().inbox.next(at(59))).toBeUndefined()
      expect(await bench.store().standing()).toMatchObject({ inboxWaiting: 0, inboxFailed: 1 })
    })
  })
}
