import { describe, expect, it } from 'vitest'
import { contentHash } from '../../src/trail/chain.js'
import { verifyChain } from '../../src/trail/verify.js'
import { CORNEA, PLACE, RETINA } from '../consult/invented-people.js'
import { agreed, comment, type StoreBench } from './store-bench.js'
import { askedAs } from './store-contract-cases.js'

export function trailContract(bench: StoreBench): void {
  describe('the trail', () => {
    it('gives events back as they were appended', async () => {
      const asked = await bench.ask('MARSH-7', 'Chop, or \u201cmanual\u201d? \u{1F441}')
      const opinion = agreed('MARSH-7', CORNEA, 'stain it')
      await bench.bringAbout({ events: [opinion, comment('MARSH-7', 'flat on B-scan')], expected: 1 })
      expect(await bench.store().view.events('MARSH-7')).toEqual([asked, opinion, comment('MARSH-7', 'flat on B-scan')])
    })

    it('keeps whatever can be typed, to the character', async () => {
      const typed = 'zero \u0000, controls \u0001 \u0011 \u00110, an eye \u{1F441}, \\ \' " %'
      await bench.ask('MARSH-7')
      await bench.bringAbout({ events: [comment('MARSH-7', typed)], expected: 1 })
      expect(await bench.store().view.events('MARSH-7')).toMatchObject([{}, { text: typed }])
      expect(await verifyChain(bench.store().trail.links(), bench.store().trail.keptText)).toMatchObject({ intact: true })
    })

    it('keeps half a character as the sign for one that is not known', async () => {
      await bench.ask('MARSH-7')
      await bench.bringAbout({ events: [comment('MARSH-7', 'half \ud800 and \udc00')], expected: 1 })
      expect(await bench.store().view.events('MARSH-7')).toMatchObject([{}, { text: 'half \ufffd and \ufffd' }])
      expect(await verifyChain(bench.store().trail.links(), bench.store().trail.keptText)).toMatchObject({ intact: true })
    })

    it('refuses events decided on a consult that has moved on, with everything that came with them', async () => {
      await bench.ask('MARSH-7')
      await bench.bringAbout({ events: [agreed('MARSH-7')], expected: 1 })
      const outcome = await bench.bringAbout({
        events: [agreed('MARSH-7', RETINA)],
        expected: 1,
        people: [RETINA],
        outbound: [{ kind: 'consult-card', ref: 'MARSH-7', place: PLACE }],
      })
      expect(outcome).toBe('conflict')
      expect(await bench.store().view.events('MARSH-7')).toHaveLength(2)
      expect(await bench.store().view.person(RETINA.id)).toBeUndefined()
      expect(await bench.store().view.cardStanding('MARSH-7')).toBe('none')
      expect(await bench.store().standing()).toMatchObject({ inboxWaiting: 1 })
    })

    it('refuses a second consult under one reference', async () => {
      await bench.ask('MARSH-7')
      const { event } = askedAs('MARSH-7', 'Another?')
      expect(await bench.bringAbout({ events: [event], expected: 0 })).toBe('conflict')
    })

    it('gives a plan back to the bit', async () => {
      const { plan, hash } = askedAs('MARSH-7', 'Chop?').plan
      await bench.ask('MARSH-7', 'Chop?')
      const kept = await bench.store().view.plan(hash)
      expect(kept).toEqual(plan)
      expect(contentHash(kept)).toBe(hash)
    })

    it('is one unbroken chain over all consults', async () => {
      await bench.ask('MARSH-7')
      await bench.ask('QUAY-2')
      await bench.bringAbout({ events: [agreed('MARSH-7', CORNEA, 'fine')], expected: 1 })
      await bench.bringAbout({ events: [comment('QUAY-2', 'seen')], expected: 1 })
      expect(await verifyChain(bench.store().trail.links(), bench.store().trail.keptText)).toMatchObject({
        intact: true,
        events: 4,
      })
    })

    it('reads more events than it takes at once, in order', async () => {
      await bench.ask('MARSH-7')
      const comments = Array.from({ length: 1001 }, (_, index) => comment('MARSH-7', `number ${index}`))
      await bench.bringAbout({ events: comments, expected: 1 })
      expect(await verifyChain(bench.store().trail.links(), bench.store().trail.keptText)).toMatchObject({
        intact: true,
        events: 1002,
      })
    })
  })
}
