import { describe, expect, it } from 'vitest'
import type { Outbound } from '../../src/desk/ports.js'
import { ASKER, at, PLACE } from '../consult/invented-people.js'
import type { StoreBench } from './store-bench.js'

export function outboxContract(bench: StoreBench): void {
  describe('the outbox', () => {
    const LANE = { platform: 'slack', kind: 'part', heldChannels: [] } as const
    const card = (ref: string): Outbound => ({
      kind: 'consult-card',
      ref,
      place: PLACE,
      tell: { to: ASKER, place: PLACE, reply: {} },
    })
    const next = async (minute = 1) => {
      const outgoing = await bench.store().outbox.next(at(minute), LANE)
      return outgoing?.kind === 'part' ? outgoing : undefined
    }
    async function posted(ref: string, message: string) {
      await bench.bringAbout({ outbound: [card(ref)] })
      const root = await next()
      if (!root) throw new Error('the card of this test is waiting')
      await bench.store().outbox.begin(root.seq, at(1))
      await bench.store().outbox.settle(root.seq, { state: 'sent', message, desired: root.desired }, at(1))
      return root
    }

    it('gives a card to post, once', async () => {
      const root = await posted('MARSH-7', 'm1')
      expect(root).toMatchObject({ ref: 'MARSH-7', part: 0, step: 'post', place: PLACE, tell: { to: ASKER } })
      expect(await next()).toBeUndefined()
      expect(await bench.store().view.cardStanding('MARSH-7')).toBe('posted')
    })

    it('makes one update out of many changes', async () => {
      await posted('MARSH-7', 'm1')
      await bench.bringAbout({ outbound: [card('MARSH-7')] })
      await bench.bringAbout({ outbound: [card('MARSH-7')] })
      const update = await next()
      expect(update).toMatchObject({ step: 'update', message: 'm1', desired: 3 })
      await bench.store().outbox.settle(update?.seq ?? 0, { state: 'sent', desired: 3 }, at(1))
      expect(await next()).toBeUndefined()
    })

    it('updates once more what changed while it was on its way', async () => {
      await bench.bringAbout({ outbound: [card('MARSH-7')] })
      const root = await next()
      await bench.store().outbox.begin(root?.seq ?? 0, at(1))
      await bench.bringAbout({ outbound: [card('MARSH-7')] })
      await bench.store().outbox.settle(root?.seq ?? 0, { state: 'sent', message: 'm1', desired: root?.desired ?? 0 }, at(1))
      expect(await next()).toMatchObject({ step: 'update', message: 'm1' })
    })

    it('does not give out what is being sent', async () => {
      await bench.bringAbout({ outbound: [card('MARSH-7')] })
      await bench.store().outbox.begin((await next())?.seq ?? 0, at(1))
      expect(await next(59)).toBeUndefined()
    })

    it('lets the other messages of a card follow its root', async () => {
      await posted('MARSH-7', 'm1')
      await bench.store().outbox.addParts('MARSH-7', 3, at(1))
      await bench.store().outbox.addParts('MARSH-7', 3, at(1))
      const second = await next()
      expect(second).toMatchObject({ part: 1, step: 'post', root: 'm1' })
      await bench.store().outbox.settle(second?.seq ?? 0, { state: 'sent', message: 'm2', desired: 1 }, at(1))
      expect(await next()).toMatchObject({ part: 2, root: 'm1' })
      expect(await bench.store().view.cardStanding('MARSH-7')).toBe('waiting')
    })

    it('tries again at the time that was set', async () => {
      await bench.bringAbout({ outbound: [card('MARSH-7')] })
      const root = await next()
      await bench.store().outbox.begin(root?.seq ?? 0, at(1))
      await bench.store().outbox.settle(root?.seq ?? 0, { state: 'queued', retryAt: at(7), because: 'busy' }, at(1))
      expect(await next(6)).toBeUndefined()
      expect(await bench.store().outbox.nextDue(LANE)).toBe(at(7))
      expect(await next(7)).toMatchObject({ step: 'post', attempts: 1 })
    })

    it('looks for what may stand there, and sends it again only when a person asks', async () => {
      await bench.bringAbout({ outbound: [card('MARSH-7')] })
      const root = await next()
      const seq = root?.seq ?? 0
      await bench.store().outbox.begin(seq, at(1))
      await bench.store().outbox.settle(seq, { state: 'unknown', lookAt: at(2), because: 'no answer' }, at(1))
      expect(await next(2)).toMatchObject({ step: 'look', looks: 0, startedAt: at(1), mark: root?.mark })
      await bench.store().outbox.settle(seq, { state: 'unknown', lookAt: at(3), because: 'not found' }, at(2))
      expect(await next(3)).toMatchObject({ step: 'look', looks: 1 })
      await bench.store().outbox.settle(seq, { state: 'unknown', because: 'not found' }, at(3))
      expect(await next(59)).toBeUndefined()
      expect(await bench.store().view.cardStanding('MARSH-7')).toBe('possibly-posted')
      expect(await bench.store().standing()).toMatchObject({ outboxUnknown: 1 })

      await bench.bringAbout({ outbound: [card('MARSH-7')] })
      expect(await next(59)).toBeUndefined()
      await bench.bringAbout({ postAgain: ['MARSH-7'] })
      expect(await next(59)).toMatchObject({ step: 'post', part: 0, looks: 0 })
    })

    it('leaves alone what stands there when it is asked to send again', async () => {
      await posted('MARSH-7', 'm1')
      await bench.bringAbout({ postAgain: ['MARSH-7'] })
      expect(await next(59)).toBeUndefined()
    })

    it('keeps what the platform refused, with what the person is told', async () => {
      await bench.bringAbout({ outbound: [card('MARSH-7')] })
      const seq = (await next())?.seq ?? 0
      await bench.store().outbox.begin(seq, at(1))
      await bench.store().outbox.settle(seq, { state: 'refused', because: 'not in the channel' }, at(1), answer('It was refused'))
      expect(await bench.store().view.cardStanding('MARSH-7')).toBe('refused')
      expect(await bench.store().outbox.next(at(1), { ...LANE, kind: 'answer' })).toMatchObject({
        outbound: answer('It was refused'),
      })
    })

    it('holds a channel back without holding up another', async () => {
      await bench.bringAbout({
        outbound: [card('MARSH-7'), { kind: 'consult-card', ref: 'QUAY-2', place: { ...PLACE, channel: 'C2' } }],
      })
      const first = await next()
      expect(first?.ref).toBe('MARSH-7')
      expect(await bench.store().outbox.next(at(1), { ...LANE, heldChannels: [first?.channel ?? ''] })).toMatchObject({
        ref: 'QUAY-2',
      })
    })

    it('keeps answers apart from cards, and platforms from each other', async () => {
      await bench.bringAbout({ outbound: [answer('Hello')] })
      expect(await next()).toBeUndefined()
      expect(await bench.store().outbox.next(at(1), { ...LANE, kind: 'answer', platform: 'teams' })).toBeUndefined()
      const outgoing = await bench.store().outbox.next(at(1), { ...LANE, kind: 'answer' })
      expect(outgoing).toMatchObject({ kind: 'answer', outbound: answer('Hello'), queuedAt: at(1) })
      await bench.store().outbox.begin(outgoing?.seq ?? 0, at(1))
      await bench.store().outbox.settle(outgoing?.seq ?? 0, { state: 'sent' }, at(1))
      expect(await bench.store().outbox.next(at(9), { ...LANE, kind: 'answer' })).toBeUndefined()
    })

    it('knows a consult by the thread that its card opened', async () => {
      await posted('MARSH-7', 'm1')
      expect(await bench.store().view.consultInThread({ ...PLACE, thread: 'm1' })).toBe('MARSH-7')
      expect(await bench.store().view.consultInThread({ ...PLACE, thread: 'm2' })).toBeUndefined()
      expect(await bench.store().view.consultInThread({ ...PLACE, channel: 'C2', thread: 'm1' })).toBeUndefined()
      expect(await bench.store().view.consultInThread({ ...PLACE, platform: 'teams', thread: 'm1' })).toBeUndefined()
      expect(await bench.store().view.consultInThread(PLACE)).toBeUndefined()
    })
  })
}

function answer(title: string): Outbound {
  const card = { title, summary: title, first: [], sections: [], choices: [], typing: '', footer: '' }
  return { kind: 'answer', to: ASKER, place: PLACE, reply: { to: 'here' }, card }
}
