import { describe, expect, it } from 'vitest'
import { eraseCommand, holdCommand, retentionCommand } from '../../adapters/retention-command.js'
import type { Database } from '../../adapters/store/database.js'
import { erasableOf } from '../../adapters/store/record-keeping.js'
import { storeOver } from '../../adapters/store/store.js'
import { noteCard } from '../../src/cards/short-cards.js'
import { currentCard } from '../../src/desk/consult-here.js'
import type { Outbound } from '../../src/desk/ports.js'
import { ERASED } from '../../src/trail/chain.js'
import { examineTrail } from '../../src/trail/examine.js'
import { queryOf } from '../../src/trail/find.js'
import { examineLog } from '../../src/trail/record-acts.js'
import { ASKER, at, CORNEA, PLACE } from '../consult/invented-people.js'
import { agreed, comment, storeBench } from './store-bench.js'
import { askedAs, said } from './store-contract-cases.js'

const WHO = { by: 'records office', at: '2026-09-01T09:00:00.000Z', because: 'a name was typed' }

const answerOf = (words: string): Outbound => ({ kind: 'answer', to: ASKER, place: PLACE, reply: {}, card: noteCard(words) })

/** What the keeping of records must do over every database. */
export function keepingContract(name: string, create: () => Promise<Database>): void {
  describe(`the keeping of records on ${name}`, () => {
    async function opened() {
      const database = await create()
      const store = await storeOver(database, at(0))
      const words = { out: '', err: '' }
      const terminal = {
        out: (text: string) => {
          words.out += text
        },
        err: (text: string) => {
          words.err += text
        },
      }
      return { database, store, bench: storeBench(() => store), words, terminal }
    }
    const find = async (store: Awaited<ReturnType<typeof storeOver>>, words: string) => {
      const query = queryOf(words)
      return query ? (await store.trail.find(query, 'everything', 9)).map(({ ref }) => ref) : []
    }

    it('erases a text for good: from the events, the search and the card; the chain stays whole and says who did it', async () => {
      const { database, store, bench, words, terminal } = await opened()
      const { event, plan } = askedAs('MARSH-7', 'Chop?')
      await bench.bringAbout({
        events: [event],
        plans: [plan],
        outbound: [{ kind: 'consult-card', ref: 'MARSH-7', place: PLACE }],
      })
      await bench.bringAbout({ events: [comment('MARSH-7', 'ask Quillfeather about it'), agreed('MARSH-7')], expected: 1 })
      expect(await find(store, 'quillfeather')).toEqual(['MARSH-7'])

      expect(await eraseCommand(database, 'MARSH-7', undefined, WHO, terminal)).toBe(0)
      const id = /^(\w+) {2}text .*Quillfeather/m.exec(words.out)?.[1] ?? ''
      expect(await eraseCommand(database, 'MARSH-7', id, { ...WHO, because: ' ' }, terminal)).toBe(2)
      expect(await find(store, 'quillfeather')).toEqual(['MARSH-7'])
      expect(await eraseCommand(database, 'MARSH-7', id, WHO, terminal), words.err).toBe(0)

      expect(await store.view.events('MARSH-7')).toMatchObject([{}, { text: ERASED }, {}])
      expect(await find(store, 'quillfeather')).toEqual([])
      expect(await find(store, 'chop')).toEqual(['MARSH-7'])
      const examined = await examineTrail(store.trail)
      expect(examined).not.toHaveProperty('fault')
      expect(examined).toMatchObject({ events: 3, erasedTexts: 1 })
      const acts = await database.db.selectFrom('record_acts').selectAll().execute()
      expect(acts).toMatchObject([{ ...WHO, act: 'text-erased', ref: 'MARSH-7', subject: expect.stringMatching(`^${id}`) }])
      const card = await database.db.selectFrom('outbox').selectAll().where('ref', '=', 'MARSH-7').executeTakeFirst()
      expect(card?.desired).toBe(2)
      await store.close()
    })

    it('erases a plan for good, and takes the same plan again when it is put again', async () => {
      const { database, store, bench, terminal } = await opened()
      const { event, plan } = askedAs('MARSH-7', 'Chop?')
      await bench.bringAbout({ events: [event], plans: [plan] })
      expect(await eraseCommand(database, 'MARSH-7', 'all', WHO, terminal)).toBe(0)
      expect(await store.view.plan(plan.hash)).toBeUndefined()
      expect(await store.trail.planErased(plan.hash)).toBe(true)
      expect(await currentCard(store.view, 'MARSH-7')).toMatchObject({ summary: expect.stringContaining('was erased') })
      expect(await store.reminding.nextDue()).toBeUndefined()
      expect(await examineTrail(store.trail)).not.toHaveProperty('fault')
      expect(await erasableOf(database.db, 'MARSH-7')).toEqual([])

      const again = askedAs('QUAY-2', 'Chop?')
      await bench.bringAbout({ events: [again.event], plans: [again.plan] })
      expect(again.plan.hash).toBe(plan.hash)
      expect(await store.view.plan(plan.hash)).toEqual(plan.plan)
      await store.close()
    })

    it('erases nothing of a consult under a legal hold, until it is lifted', async () => {
      const { database, store, bench, words, terminal } = await opened()
      await bench.ask('MARSH-7')
      expect(await holdCommand(database, 'MARSH-7', 'on', WHO, terminal)).toBe(0)
      expect(await eraseCommand(database, 'MARSH-7', 'all', WHO, terminal)).toBe(2)
      expect(words.err).toContain('legal hold')
      expect(await holdCommand(database, 'MARSH-7', 'off', { ...WHO, because: 'complaint settled' }, terminal)).toBe(0)
      expect(await eraseCommand(database, 'MARSH-7', 'all', WHO, terminal)).toBe(0)
      expect(await holdCommand(database, 'NOWHERE-1', 'on', WHO, terminal)).toBe(2)
      const acts = await database.db.selectFrom('record_acts').selectAll().orderBy('number').execute()
      expect(acts.map(({ act }) => act).slice(0, 2)).toEqual(['hold-set', 'hold-lifted'])
      expect(await examineLog(acts)).toMatchObject({ faults: [], rows: acts.length, head: acts.at(-1)?.hash })
      expect((await examineLog(acts.map((act) => ({ ...act, because: 'other' })))).faults).not.toEqual([])
      expect((await examineLog(acts.slice(1))).faults).not.toEqual([])
      await store.close()
    })

    it('erases no plan that a consult under a legal hold shares', async () => {
      const { database, store, bench, words, terminal } = await opened()
      await bench.ask('MARSH-7')
      await bench.ask('QUAY-2')
      await holdCommand(database, 'QUAY-2', 'on', WHO, terminal)
      const plans = (await erasableOf(database.db, 'QUAY-2')).filter(({ kind }) => kind === 'plan')
      expect((await erasableOf(database.db, 'MARSH-7')).map(({ id }) => id)).toContain(plans[0]?.id)

      expect(await eraseCommand(database, 'MARSH-7', 'all', WHO, terminal)).toBe(2)
      expect(words.err).toContain('QUAY-2 is under a legal hold and shares the plan of MARSH-7')
      expect(await store.view.plan(plans[0]?.id ?? '')).toBeDefined()
      expect(await store.view.events('MARSH-7')).toMatchObject([{ question: 'Chop or manual?' }])
      await store.close()
    })

    it('takes a shared plan from all that had it: their facts, their words and their cards follow', async () => {
      const { database, store, bench, words, terminal } = await opened()
      for (const ref of ['MARSH-7', 'QUAY-2']) {
        const { event, plan } = askedAs(ref, 'Chop or manual?')
        await bench.bringAbout({ events: [event], plans: [plan], outbound: [{ kind: 'consult-card', ref, place: PLACE }] })
      }
      expect(await eraseCommand(database, 'MARSH-7', 'all', WHO, terminal)).toBe(0)
      expect(words.out).toContain('QUAY-2 was typed alike and shared the plan')
      const [row] = await store.view.rowsOf(['QUAY-2'])
      expect(row).toMatchObject({ ref: 'QUAY-2', numbers: {} })
      const cards = await database.db.selectFrom('outbox').select(['ref', 'desired']).orderBy('ref').execute()
      expect(cards).toEqual([
        { ref: 'MARSH-7', desired: 2 },
        { ref: 'QUAY-2', desired: 2 },
      ])
      await store.close()
    })

    it('takes with a plan what its asker had typed in previews before, and nobody else’s', async () => {
      const { database, store, bench, terminal } = await opened()
      const { event, plan } = askedAs('MARSH-7', 'Chop?', { at: at(5) })
      const draft = (id: string, by: string, minute: number) => ({
        change: 'put' as const,
        draft: { id, by, place: PLACE, at: at(minute), text: 'LE AL 29', case: plan.plan.case, fingerprint: 'f', blockedBy: [] },
      })
      const drafts = [draft('set aside', ASKER.id, 3), draft('of another', CORNEA.id, 3), draft('after it', ASKER.id, 8)]
      await bench.bringAbout({ drafts })
      await bench.bringAbout({ drafts: [{ change: 'corrected', id: 'set aside' }] })
      await bench.bringAbout({ events: [event], plans: [plan] })
      expect(await eraseCommand(database, 'MARSH-7', 'all', WHO, terminal)).toBe(0)
      expect(await store.view.draft('set aside')).toMatchObject({ state: 'cancelled' })
      expect(await store.view.draft('of another')).toMatchObject({ state: 'open', text: 'LE AL 29' })
      expect(await store.view.draft('after it')).toMatchObject({ state: 'open', text: 'LE AL 29' })
      await store.close()
    })

    it('keeps no word of an answer whose fate nobody will find out, whoever gave it up', async () => {
      const { database, store, bench } = await opened()
      const lane = { platform: 'slack', kind: 'answer', heldChannels: [] } as const
      const begin = async () => {
        await bench.bringAbout({ outbound: [answerOf('Quillfeather')] })
        const seq = (await store.outbox.next(at(1), lane))?.seq ?? 0
        await store.outbox.begin(seq, at(1))
        return seq
      }
      const payloads = async () => (await database.db.selectFrom('outbox').select('payload').execute()).map((row) => row.payload)

      await store.outbox.settle(await begin(), { state: 'unknown', because: 'no answer' }, at(1))
      expect(await payloads()).toEqual([null])
      await begin()
      expect((await payloads())[1]).toContain('Quillfeather')
      // The next start, some minutes later.
      await storeOver(database, at(9))
      expect(await payloads()).toEqual([null, null])
      expect(await store.standing()).toMatchObject({ outboxUnknown: 2 })
      await store.close()
    })

    it('lists what is past the time limit, and erases it only when asked to; what is held or shared stays', async () => {
      const { database, store, bench, words, terminal } = await opened()
      const old = at(1)
      await bench.ask('MARSH-7', 'First?', { at: old })
      await bench.ask('QUAY-2', 'Second?', { at: old })
      await bench.ask('HEATH-4', 'Third?', { at: old })
      await bench.bringAbout({
        events: [{ ...comment('HEATH-4', 'still talked about'), at: '2026-08-30T08:00:00.000Z' }],
        expected: 1,
      })
      const shared = askedAs('REEF-9', 'Third?', { at: old })
      await bench.bringAbout({ events: [shared.event], plans: [shared.plan] })
      await bench.bringAbout({
        drafts: [
          {
            change: 'put',
            draft: {
              id: 'd1',
              by: ASKER.id,
              place: PLACE,
              at: old,
              text: 'LE AL 29',
              case: shared.plan.plan.case,
              fingerprint: 'f1',
              blockedBy: [],
            },
          },
        ],
      })
      await store.inbox.put({ key: 'broken', inbound: said('never handled', CORNEA) }, old)
      await store.inbox.fail((await store.inbox.next(at(59)))?.seq ?? 0, { at: at(2), errorRef: 'E-1' })
      await holdCommand(database, 'QUAY-2', 'on', WHO, terminal)
      words.out = ''

      const reason = { by: 'records office', at: WHO.at }
      expect(await retentionCommand(database, { days: undefined, apply: true }, reason, terminal)).toBe(2)
      expect(await retentionCommand(database, { days: 90, apply: false }, reason, terminal)).toBe(0)
      expect(words.out).toContain('2 consults due, 1 held; 1 drafts and 1 parked deliveries due')
      expect(words.out).not.toContain('HEATH-4')
      expect(await store.view.events('MARSH-7')).toMatchObject([{ question: 'First?' }])

      expect(await retentionCommand(database, { days: 90, apply: true }, reason, terminal)).toBe(0)
      expect(await store.view.events('MARSH-7')).toMatchObject([{ question: ERASED }])
      expect(await store.view.events('QUAY-2')).toMatchObject([{ question: 'Second?' }])
      expect(await store.view.events('REEF-9')).toMatchObject([{ question: ERASED }])
      expect(await store.view.plan(shared.plan.hash)).toEqual(shared.plan.plan)
      expect(await store.view.draft('d1')).toMatchObject({ state: 'cancelled' })
      const parked = await database.db.selectFrom('inbox').selectAll().where('key', '=', 'broken').executeTakeFirst()
      expect(parked).toMatchObject({ payload: null, state: 'failed' })
      expect(await store.inbox.put({ key: 'broken', inbound: said('a second copy') }, at(3))).toBe('duplicate')
      expect(await examineTrail(store.trail)).not.toHaveProperty('fault')

      words.out = ''
      await retentionCommand(database, { days: 90, apply: false }, reason, terminal)
      // The plan that it shares with a consult still talked about is all that is left of REEF-9.
      expect(words.out).toContain('1 consults due, 1 held; 0 drafts and 0 parked deliveries due')
      expect(words.out).toContain('REEF-9')
      await store.close()
    })
  })
}
