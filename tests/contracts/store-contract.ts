import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { CommentMade, OpinionGiven } from '../../src/consult/events.js'
import type { Outbound } from '../../src/desk/ports.js'
import { type Draft, type Effects, NO_EFFECTS, type Store } from '../../src/desk/store.js'
import { contentHash } from '../../src/trail/chain.js'
import { queryOf } from '../../src/trail/find.js'
import { verifyChain } from '../../src/trail/verify.js'
import { ASKER, at, CORNEA, PLACE, RETINA } from '../consult/invented-people.js'
import { inventedPlan } from './invented-plan.js'
import { askedAs, said } from './store-contract-cases.js'

/** What every store must do, whatever database lies under it. */
export function storeContract(name: string, create: () => Promise<Store>): void {
  describe(`a store on ${name}`, () => {
    let store: Store
    let deliveries = 0

    beforeEach(async () => {
      store = await create()
      deliveries = 0
    })
    afterEach(async () => {
      await store.close()
    })

    /** Puts one delivery in and brings these effects about by it. */
    async function bringAbout(effects: Partial<Effects>): Promise<'committed' | 'conflict'> {
      deliveries += 1
      await store.inbox.put({ key: `delivery ${deliveries}`, inbound: said('x') }, at(0))
      const waiting = await store.inbox.next(at(59))
      if (!waiting) throw new Error('the delivery of this test is waiting')
      return store.inbox.commit(waiting.seq, { ...NO_EFFECTS, ...effects }, at(1))
    }

    async function ask(ref: string, question = 'Chop or manual?', changes: Parameters<typeof askedAs>[2] = {}) {
      const { event, plan } = askedAs(ref, question, changes)
      expect(await bringAbout({ events: [event], plans: [plan] })).toBe('committed')
      return event
    }

    const agreed = (ref: string, by = CORNEA, sentence?: string): OpinionGiven => ({
      type: 'opinion-given',
      by,
      at: at(3),
      ref,
      revision: 1,
      opinion: { kind: 'agree', steps: [], ...(sentence === undefined ? {} : { sentence }) },
    })
    const comment = (ref: string, text: string, by = RETINA): CommentMade => ({ type: 'comment-made', by, at: at(4), ref, text })

    const find = async (words: string, scope: Parameters<Store['trail']['find']>[1] = 'everything') => {
      const query = queryOf(words)
      return query ? (await store.trail.find(query, scope, 10)).map(({ ref }) => ref) : []
    }

    describe('the inbox', () => {
      it('gives a delivery back as it was put in', async () => {
        await store.inbox.put({ key: 'k1', inbound: said('AL 29.60 \u2212 "quoted"\nsecond line') }, at(0))
        expect(await store.inbox.next(at(0))).toEqual({
          seq: expect.any(Number),
          attempts: 0,
          inbound: said('AL 29.60 \u2212 "quoted"\nsecond line'),
        })
      })

      it('takes the same delivery once, also after it was handled', async () => {
        expect(await store.inbox.put({ key: 'k1', inbound: said('one') }, at(0))).toBe('new')
        expect(await store.inbox.put({ key: 'k1', inbound: said('one') }, at(0))).toBe('duplicate')
        const waiting = await store.inbox.next(at(1))
        await store.inbox.commit(waiting?.seq ?? 0, NO_EFFECTS, at(1))
        expect(await store.inbox.put({ key: 'k1', inbound: said('one') }, at(2))).toBe('duplicate')
        expect(await store.inbox.next(at(3))).toBeUndefined()
      })

      it('gives the oldest first', async () => {
        await store.inbox.put({ key: 'a', inbound: said('first') }, at(0))
        await store.inbox.put({ key: 'b', inbound: said('second') }, at(0))
        const first = await store.inbox.next(at(1))
        expect(first?.inbound).toMatchObject({ text: 'first' })
        await store.inbox.commit(first?.seq ?? 0, NO_EFFECTS, at(1))
        expect((await store.inbox.next(at(1)))?.inbound).toMatchObject({ text: 'second' })
      })

      it('brings nothing about twice for one delivery', async () => {
        await store.inbox.put({ key: 'k1', inbound: said('one') }, at(0))
        const seq = (await store.inbox.next(at(1)))?.seq ?? 0
        const { event, plan } = askedAs('MARSH-7', 'Chop?')
        expect(await store.inbox.commit(seq, { ...NO_EFFECTS, events: [event], plans: [plan] }, at(1))).toBe('committed')
        const other = askedAs('QUAY-2', 'Chop?')
        expect(await store.inbox.commit(seq, { ...NO_EFFECTS, events: [other.event], plans: [other.plan] }, at(1))).toBe(
          'conflict',
        )
        expect(await store.view.events('QUAY-2')).toEqual([])
      })

      it('keeps a failed delivery for another try, and parks it in the end', async () => {
        await store.inbox.put({ key: 'k1', inbound: said('one') }, at(0))
        const seq = (await store.inbox.next(at(1)))?.seq ?? 0
        await store.inbox.fail(seq, { at: at(1), errorRef: 'E-1', retryAt: at(5) })
        expect(await store.inbox.next(at(4))).toBeUndefined()
        expect(await store.inbox.nextDue()).toBe(at(5))
        expect(await store.inbox.next(at(5))).toMatchObject({ seq, attempts: 1 })
        await store.inbox.fail(seq, { at: at(5), errorRef: 'E-2' })
        expect(await store.inbox.next(at(59))).toBeUndefined()
        expect(await store.standing()).toMatchObject({ inboxWaiting: 0, inboxFailed: 1 })
      })
    })

    describe('the trail', () => {
      it('gives events back as they were appended', async () => {
        const asked = await ask('MARSH-7', 'Chop, or \u201cmanual\u201d? \u{1F441}')
        const opinion = agreed('MARSH-7', CORNEA, 'stain it')
        await bringAbout({ events: [opinion, comment('MARSH-7', 'flat on B-scan')], expected: 1 })
        expect(await store.view.events('MARSH-7')).toEqual([asked, opinion, comment('MARSH-7', 'flat on B-scan')])
      })

      it('refuses events decided on a consult that has moved on, with everything that came with them', async () => {
        await ask('MARSH-7')
        await bringAbout({ events: [agreed('MARSH-7')], expected: 1 })
        const outcome = await bringAbout({
          events: [agreed('MARSH-7', RETINA)],
          expected: 1,
          people: [RETINA],
          outbound: [{ kind: 'consult-card', ref: 'MARSH-7', place: PLACE }],
        })
        expect(outcome).toBe('conflict')
        expect(await store.view.events('MARSH-7')).toHaveLength(2)
        expect(await store.view.person(RETINA.id)).toBeUndefined()
        expect(await store.view.cardStanding('MARSH-7')).toBe('none')
        expect(await store.standing()).toMatchObject({ inboxWaiting: 1 })
      })

      it('refuses a second consult under one reference', async () => {
        await ask('MARSH-7')
        const { event } = askedAs('MARSH-7', 'Another?')
        expect(await bringAbout({ events: [event], expected: 0 })).toBe('conflict')
      })

      it('gives a plan back to the bit', async () => {
        const { plan, hash } = askedAs('MARSH-7', 'Chop?').plan
        await ask('MARSH-7', 'Chop?')
        const kept = await store.view.plan(hash)
        expect(kept).toEqual(plan)
        expect(contentHash(kept)).toBe(hash)
      })

      it('is one unbroken chain over all consults', async () => {
        await ask('MARSH-7')
        await ask('QUAY-2')
        await bringAbout({ events: [agreed('MARSH-7', CORNEA, 'fine')], expected: 1 })
        await bringAbout({ events: [comment('QUAY-2', 'seen')], expected: 1 })
        expect(await verifyChain(store.trail.links(), store.trail.keptText)).toMatchObject({ intact: true, events: 4 })
      })

      it('reads more events than it takes at once, in order', async () => {
        await ask('MARSH-7')
        const comments = Array.from({ length: 1001 }, (_, index) => comment('MARSH-7', `number ${index}`))
        await bringAbout({ events: comments, expected: 1 })
        expect(await verifyChain(store.trail.links(), store.trail.keptText)).toMatchObject({ intact: true, events: 1002 })
      })
    })

    describe('the search', () => {
      it('finds a consult by its facts, its question, its reference and what was said on it', async () => {
        await ask('MARSH-7', 'Chop or manual?')
        await bringAbout({ events: [agreed('MARSH-7', CORNEA, 'consider trypan blue')], expected: 1 })
        for (const words of [
          'long eye staphyloma sub-Tenon',
          '29.6',
          'manual',
          'MARSH-7',
          'marsh',
          'trypan',
          'Alder cornea',
          'STAPHY',
        ]) {
          expect(await find(words), words).toEqual(['MARSH-7'])
        }
        expect(await find('staphyloma trabeculectomy')).toEqual([])
      })

      it('finds words with and without accents', async () => {
        await ask('MARSH-7', 'Übersicht prüfen?')
        expect(await find('ubersicht')).toEqual(['MARSH-7'])
        expect(await find('prüfen')).toEqual(['MARSH-7'])
      })

      it.each(["O'Brien", '(', '"', 'AND', 'NOT chop', 'case-12', '*', 'a:b', 'NEAR(', "x'; drop table events; --", '\u0000'])(
        'takes %j as words',
        async (words) => {
          await ask('MARSH-7')
          await expect(find(words)).resolves.toEqual(expect.any(Array))
        },
      )

      it('does not take a reference for a longer one', async () => {
        await ask('MARSH-7')
        await ask('MARSH-70')
        expect(await find('MARSH-7')).toEqual(['MARSH-7'])
      })

      it('stays within one workspace when asked to', async () => {
        await ask('MARSH-7')
        await ask('QUAY-2', 'Chop?', { place: { ...PLACE, workspace: 'T2' } })
        expect(await find('staphyloma', { platform: 'slack', workspace: 'T2' })).toEqual(['QUAY-2'])
        expect((await find('staphyloma')).toSorted()).toEqual(['MARSH-7', 'QUAY-2'])
      })

      it('says who asked, when, where, and how many have answered', async () => {
        const asked = await ask('MARSH-7')
        await bringAbout({
          events: [agreed('MARSH-7'), agreed('MARSH-7', RETINA), agreed('MARSH-7', CORNEA, 'yes')],
          expected: 1,
        })
        const query = queryOf('staphyloma')
        expect(query && (await store.trail.find(query, 'everything', 10))).toEqual([
          {
            ref: 'MARSH-7',
            askedAt: asked.at,
            askedBy: ASKER,
            place: PLACE,
            planHash: asked.type === 'consult-asked' && asked.planHash,
            opinions: 2,
          },
        ])
      })

      it('lists the newest first', async () => {
        await ask('MARSH-7', 'Chop?', { at: at(1) })
        await ask('QUAY-2', 'Chop?', { at: at(3) })
        await ask('HEATH-4', 'Chop?', { at: at(2) })
        expect((await store.trail.newest('everything', 2)).map(({ ref }) => ref)).toEqual(['QUAY-2', 'HEATH-4'])
      })
    })

    describe('a draft', () => {
      const draft: Draft = {
        id: 'd1',
        by: ASKER.id,
        place: PLACE,
        at: at(0),
        text: 'LE AL 29.60',
        plan: inventedPlan(),
        blockedBy: [],
      }

      it('is kept with its text and its plan', async () => {
        await bringAbout({ drafts: [{ change: 'put', draft }] })
        expect(await store.view.draft('d1')).toEqual({ state: 'open', ...draft })
      })

      it('makes one consult, however often it is posted', async () => {
        await bringAbout({ drafts: [{ change: 'put', draft }] })
        const first = askedAs('MARSH-7', 'Chop?')
        const second = askedAs('QUAY-2', 'Chop?')
        expect(await bringAbout({ events: [first.event], drafts: [{ change: 'posted', id: 'd1', ref: 'MARSH-7' }] })).toBe(
          'committed',
        )
        expect(await bringAbout({ events: [second.event], drafts: [{ change: 'posted', id: 'd1', ref: 'QUAY-2' }] })).toBe(
          'conflict',
        )
        expect(await store.view.events('QUAY-2')).toEqual([])
        expect(await store.view.draft('d1')).toEqual({ state: 'posted', id: 'd1', by: ASKER.id, place: PLACE, ref: 'MARSH-7' })
      })

      it('keeps its text when it was set aside for correction, and nothing when it was cancelled', async () => {
        await bringAbout({
          drafts: [
            { change: 'put', draft },
            { change: 'put', draft: { ...draft, id: 'd2' } },
          ],
        })
        await bringAbout({
          drafts: [
            { change: 'corrected', id: 'd1' },
            { change: 'cancelled', id: 'd2' },
          ],
        })
        expect(await store.view.draft('d1')).toMatchObject({ state: 'corrected', text: draft.text })
        expect(await store.view.draft('d2')).toEqual({ state: 'cancelled', id: 'd2', by: ASKER.id, place: PLACE })
      })

      it('is found as the newest that its owner can still act on in that channel', async () => {
        const put = (id: string, changes: Partial<Draft> = {}) =>
          ({ change: 'put', draft: { ...draft, id, ...changes } }) as const
        await bringAbout({
          drafts: [put('d1'), put('d2'), put('d3', { place: { ...PLACE, channel: 'C2' } }), put('d4', { by: CORNEA.id })],
        })
        expect(await store.view.newestDraft(ASKER.id, { ...PLACE, thread: 'any' })).toBe('d2')
        await bringAbout({ drafts: [{ change: 'cancelled', id: 'd2' }] })
        expect(await store.view.newestDraft(ASKER.id, PLACE)).toBe('d1')
        expect(await store.view.newestDraft(RETINA.id, PLACE)).toBeUndefined()
      })

      it('that does not exist is not found', async () => {
        expect(await store.view.draft('nowhere')).toBeUndefined()
      })
    })

    it('remembers how people describe themselves', async () => {
      await bringAbout({ people: [CORNEA] })
      await bringAbout({ people: [{ ...CORNEA, field: 'cornea and lens' }] })
      expect(await store.view.person(CORNEA.id)).toEqual({ ...CORNEA, field: 'cornea and lens' })
    })

    describe('the outbox', () => {
      const LANE = { platform: 'slack', kind: 'part', heldChannels: [] } as const
      const card = (ref: string): Outbound => ({
        kind: 'consult-card',
        ref,
        place: PLACE,
        tell: { to: ASKER, place: PLACE, reply: {} },
      })
      const next = async (minute = 1) => {
        const outgoing = await store.outbox.next(at(minute), LANE)
        return outgoing?.kind === 'part' ? outgoing : undefined
      }
      async function posted(ref: string, message: string) {
        await bringAbout({ outbound: [card(ref)] })
        const root = await next()
        if (!root) throw new Error('the card of this test is waiting')
        await store.outbox.begin(root.seq, at(1))
        await store.outbox.settle(root.seq, { state: 'sent', message, desired: root.desired }, at(1))
        return root
      }

      it('gives a card to post, once', async () => {
        const root = await posted('MARSH-7', 'm1')
        expect(root).toMatchObject({ ref: 'MARSH-7', part: 0, step: 'post', place: PLACE, tell: { to: ASKER } })
        expect(await next()).toBeUndefined()
        expect(await store.view.cardStanding('MARSH-7')).toBe('posted')
      })

      it('makes one update out of many changes', async () => {
        await posted('MARSH-7', 'm1')
        await bringAbout({ outbound: [card('MARSH-7')] })
        await bringAbout({ outbound: [card('MARSH-7')] })
        const update = await next()
        expect(update).toMatchObject({ step: 'update', message: 'm1', desired: 3 })
        await store.outbox.settle(update?.seq ?? 0, { state: 'sent', desired: 3 }, at(1))
        expect(await next()).toBeUndefined()
      })

      it('updates once more what changed while it was on its way', async () => {
        await bringAbout({ outbound: [card('MARSH-7')] })
        const root = await next()
        await store.outbox.begin(root?.seq ?? 0, at(1))
        await bringAbout({ outbound: [card('MARSH-7')] })
        await store.outbox.settle(root?.seq ?? 0, { state: 'sent', message: 'm1', desired: root?.desired ?? 0 }, at(1))
        expect(await next()).toMatchObject({ step: 'update', message: 'm1' })
      })

      it('does not give out what is being sent', async () => {
        await bringAbout({ outbound: [card('MARSH-7')] })
        await store.outbox.begin((await next())?.seq ?? 0, at(1))
        expect(await next(59)).toBeUndefined()
      })

      it('lets the other messages of a card follow its root', async () => {
        await posted('MARSH-7', 'm1')
        await store.outbox.addParts('MARSH-7', 3, at(1))
        await store.outbox.addParts('MARSH-7', 3, at(1))
        const second = await next()
        expect(second).toMatchObject({ part: 1, step: 'post', root: 'm1' })
        await store.outbox.settle(second?.seq ?? 0, { state: 'sent', message: 'm2', desired: 1 }, at(1))
        expect(await next()).toMatchObject({ part: 2, root: 'm1' })
        expect(await store.view.cardStanding('MARSH-7')).toBe('waiting')
      })

      it('tries again at the time that was set', async () => {
        await bringAbout({ outbound: [card('MARSH-7')] })
        const root = await next()
        await store.outbox.begin(root?.seq ?? 0, at(1))
        await store.outbox.settle(root?.seq ?? 0, { state: 'queued', retryAt: at(7), because: 'busy' }, at(1))
        expect(await next(6)).toBeUndefined()
        expect(await store.outbox.nextDue(LANE)).toBe(at(7))
        expect(await next(7)).toMatchObject({ step: 'post', attempts: 1 })
      })

      it('looks for what may stand there, and sends it again only when a person asks', async () => {
        await bringAbout({ outbound: [card('MARSH-7')] })
        const root = await next()
        const seq = root?.seq ?? 0
        await store.outbox.begin(seq, at(1))
        await store.outbox.settle(seq, { state: 'unknown', lookAt: at(2), because: 'no answer' }, at(1))
        expect(await next(2)).toMatchObject({ step: 'look', looks: 0, startedAt: at(1), mark: root?.mark })
        await store.outbox.settle(seq, { state: 'unknown', lookAt: at(3), because: 'not found' }, at(2))
        expect(await next(3)).toMatchObject({ step: 'look', looks: 1 })
        await store.outbox.settle(seq, { state: 'unknown', because: 'not found' }, at(3))
        expect(await next(59)).toBeUndefined()
        expect(await store.view.cardStanding('MARSH-7')).toBe('possibly-posted')
        expect(await store.standing()).toMatchObject({ outboxUnknown: 1 })

        await bringAbout({ outbound: [card('MARSH-7')] })
        expect(await next(59)).toBeUndefined()
        await bringAbout({ postAgain: ['MARSH-7'] })
        expect(await next(59)).toMatchObject({ step: 'post', part: 0, looks: 0 })
      })

      it('leaves alone what stands there when it is asked to send again', async () => {
        await posted('MARSH-7', 'm1')
        await bringAbout({ postAgain: ['MARSH-7'] })
        expect(await next(59)).toBeUndefined()
      })

      it('keeps what the platform refused, with what the person is told', async () => {
        await bringAbout({ outbound: [card('MARSH-7')] })
        const seq = (await next())?.seq ?? 0
        await store.outbox.begin(seq, at(1))
        await store.outbox.settle(seq, { state: 'refused', because: 'not in the channel' }, at(1), answer('It was refused'))
        expect(await store.view.cardStanding('MARSH-7')).toBe('refused')
        expect(await store.outbox.next(at(1), { ...LANE, kind: 'answer' })).toMatchObject({ outbound: answer('It was refused') })
      })

      it('holds a channel back without holding up another', async () => {
        await bringAbout({
          outbound: [card('MARSH-7'), { kind: 'consult-card', ref: 'QUAY-2', place: { ...PLACE, channel: 'C2' } }],
        })
        const first = await next()
        expect(first?.ref).toBe('MARSH-7')
        expect(await store.outbox.next(at(1), { ...LANE, heldChannels: [first?.channel ?? ''] })).toMatchObject({ ref: 'QUAY-2' })
      })

      it('keeps answers apart from cards, and platforms from each other', async () => {
        await bringAbout({ outbound: [answer('Hello')] })
        expect(await next()).toBeUndefined()
        expect(await store.outbox.next(at(1), { ...LANE, kind: 'answer', platform: 'teams' })).toBeUndefined()
        const outgoing = await store.outbox.next(at(1), { ...LANE, kind: 'answer' })
        expect(outgoing).toMatchObject({ kind: 'answer', outbound: answer('Hello'), queuedAt: at(1) })
        await store.outbox.begin(outgoing?.seq ?? 0, at(1))
        await store.outbox.settle(outgoing?.seq ?? 0, { state: 'sent' }, at(1))
        expect(await store.outbox.next(at(9), { ...LANE, kind: 'answer' })).toBeUndefined()
      })

      it('knows a consult by the thread that its card opened', async () => {
        await posted('MARSH-7', 'm1')
        expect(await store.view.consultInThread({ ...PLACE, thread: 'm1' })).toBe('MARSH-7')
        expect(await store.view.consultInThread({ ...PLACE, thread: 'm2' })).toBeUndefined()
        expect(await store.view.consultInThread({ ...PLACE, channel: 'C2', thread: 'm1' })).toBeUndefined()
        expect(await store.view.consultInThread({ ...PLACE, platform: 'teams', thread: 'm1' })).toBeUndefined()
        expect(await store.view.consultInThread(PLACE)).toBeUndefined()
      })
    })
  })
}

function answer(title: string): Outbound {
  const card = { title, summary: title, first: [], sections: [], choices: [], typing: '', footer: '' }
  return { kind: 'answer', to: ASKER, place: PLACE, reply: { to: 'here' }, card }
}
