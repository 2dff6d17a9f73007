import { sql } from 'kysely'
import { describe, expect, it } from 'vitest'
import { sealCommand } from '../../adapters/seal-command.js'
import { openKeeping, openStore } from '../../adapters/store/open.js'
import { openForChecking } from '../../adapters/trail-tables.js'
import { verified } from '../adapters/verify-bench.js'
import { ASKER, at, CORNEA, PLACE } from '../consult/invented-people.js'
import { agreed, comment, storeBench } from './store-bench.js'
import { said } from './store-contract-cases.js'

const KEY = 'a key of these tests, which is long enough'
const OTHER_KEY = 'another key of these tests, long enough too'
const WHO = { by: 'records office', at: '2026-09-01T09:00:00.000Z', because: 'a key was set' }

/** A trail in one database, and a way to change it past this program. */
export interface SealedTrail {
  readonly url: string
  byHand(...statements: readonly string[]): Promise<void>
}

/** What the seals must show over every database, also after the program has gone on writing over what somebody altered. */
export function sealingContract(name: string, create: () => Promise<SealedTrail>): void {
  describe(`the seals of a trail on ${name}`, () => {
    async function opened(secret?: string) {
      const trail = await create()
      const store = await openStore(trail.url, at(0), secret)
      return { ...trail, store, bench: storeBench(() => store) }
    }
    const verify = async (url: string, secret?: string, checkpoint?: string) => {
      const checking = await openForChecking(url, secret)
      return verified(checking, checkpoint === undefined ? {} : { checkpoint }).finally(checking.close)
    }
    const seal = async (url: string, given: { secret?: string; before?: string; unchecked?: boolean }) => {
      const words = { out: '', err: '' }
      const terminal = {
        out: (text: string) => {
          words.out += text
        },
        err: (text: string) => {
          words.err += text
        },
      }
      const { secret, before, unchecked = false } = given
      return { code: await sealCommand(url, { ...WHO, secret, before, unchecked }, terminal), ...words }
    }

    it('fit after everything that a program does, what was undone included', async () => {
      const { url, store, bench } = await opened()
      await bench.ask('MARSH-7')
      await bench.bringAbout({
        events: [comment('MARSH-7', 'seen')],
        expected: 1,
        people: [CORNEA],
        settings: [{ id: CORNEA.id, reminders: false }],
        outbound: [{ kind: 'consult-card', ref: 'MARSH-7', place: PLACE }],
        accesses: [{ by: CORNEA, what: 'viewed', ref: 'MARSH-7', at: at(3) }],
      })
      expect(await bench.bringAbout({ events: [agreed('MARSH-7')], expected: 1, people: [ASKER] })).toBe('conflict')
      expect(await store.inbox.put({ key: 'twice', inbound: said('x') }, at(4))).toBe('new')
      expect(await store.inbox.put({ key: 'twice', inbound: said('x') }, at(5))).toBe('duplicate')
      await store.reminding.lookNext('MARSH-7', 2, undefined)
      const lane = { platform: 'slack', kind: 'part', heldChannels: [] } as const
      const message = await store.outbox.next(at(6), lane)
      await store.outbox.begin(message?.seq ?? 0, at(6))
      await store.outbox.settle(message?.seq ?? 0, { state: 'sent', message: '1.1', desired: 1 }, at(6))
      expect(await verify(url)).toMatchObject({ code: 0, err: '' })
      await store.close()
    })

    it('show what was altered or put in by hand also when the program has changed that row since', async () => {
      const { url, byHand, store } = await opened()
      await store.inbox.put({ key: 'one', inbound: said('as it was said') }, at(0))
      await store.inbox.put({ key: 'two', inbound: said('another') }, at(0))
      await byHand(
        "update inbox set payload = replace(payload, 'as it was said', 'as it was not') where key = 'one'",
        "update inbox set seal = null where key = 'two'",
      )
      for (const _ of [1, 2]) {
        const waiting = await store.inbox.next(at(1))
        await store.inbox.fail(waiting?.seq ?? 0, { at: at(1), errorRef: 'E-1' })
      }
      await store.close()
      const { code, err } = await verify(url)
      expect(err).toContain('inbox: 1: it is not as it was written')
      expect(err).toContain('inbox: 2: it was not put in by this program')
      expect(code).toBe(1)
    })

    it('show that a log was cut off at its end also when it has grown again', async () => {
      const { url, byHand, store } = await opened()
      for (const words of ['one', 'two']) await store.accessLog.note({ by: CORNEA, what: 'searched', words, at: at(1) })
      await byHand('delete from accesses where number = 2')
      await store.accessLog.note({ by: CORNEA, what: 'searched', words: 'three', at: at(2) })
      await store.close()
      expect(await verify(url)).toMatchObject({
        code: 1,
        err: expect.stringContaining('seals: the accesses are not those that were written: they end otherwise at number 2'),
      })
    })

    it('show an earlier state of a row, whole in itself, that was put back', async () => {
      const { url, byHand, store, bench } = await opened()
      await bench.bringAbout({ people: [CORNEA] })
      await byHand('create table earlier as select * from people')
      await bench.bringAbout({ people: [{ ...CORNEA, grade: 'fellow' }] })
      await store.close()
      await byHand('delete from people', 'insert into people select * from earlier', 'drop table earlier')
      expect(await verify(url)).toMatchObject({
        code: 1,
        err: 'seals: an earlier state of a row was put back, or one row stands for another: they are not those that were written last\n',
      })
    })

    it('are made with a key from the beginning, where one is set, and nothing is written without it', async () => {
      const { url, store, bench } = await opened(KEY)
      await bench.ask('MARSH-7')
      await store.close()
      expect(await verify(url, KEY)).toMatchObject({ code: 0, err: '' })
      expect(await verify(url)).toMatchObject({ code: 1, err: expect.stringContaining('set SOUNDINGS_SEAL_KEY') })
      await expect(openStore(url, at(1))).rejects.toMatchObject({ code: 'STORE.SEAL-KEY' })
      await expect(openStore(url, at(1), OTHER_KEY)).rejects.toMatchObject({ code: 'STORE.SEAL-KEY' })
      await (await openStore(url, at(1), KEY)).close()
    })

    it('are made anew under a key that is set or changed, and the acts on the records say so', async () => {
      const { url, store, bench } = await opened()
      await bench.ask('MARSH-7')
      await store.close()
      await expect(openStore(url, at(1), KEY)).rejects.toMatchObject({ code: 'STORE.SEAL-KEY' })
      const { checkpoint } = await verify(url)
      expect(await seal(url, { secret: KEY })).toMatchObject({ code: 0, err: '' })
      expect(await verify(url, KEY, checkpoint)).toMatchObject({ code: 0, err: '' })
      expect(await seal(url, { secret: OTHER_KEY, before: KEY })).toMatchObject({ code: 0, err: '' })
      expect(await verify(url, OTHER_KEY, checkpoint)).toMatchObject({ code: 0, err: '' })
      const database = await openKeeping(url, OTHER_KEY)
      const acts = await database.db.selectFrom('record_acts').selectAll().orderBy('number').execute()
      await database.close()
      expect(acts).toMatchObject([
        { ...WHO, act: 'seals-renewed', subject: 'with the key of SOUNDINGS_SEAL_KEY, examined before' },
        { act: 'seals-renewed' },
      ])
    })

    it('are not made anew over what was altered, unless that is asked for, and then the record says so', async () => {
      const { url, byHand, store, bench } = await opened()
      await bench.bringAbout({ people: [CORNEA] })
      await store.close()
      await byHand("update people set grade = 'fellow'")
      expect(await seal(url, { secret: KEY })).toMatchObject({
        code: 2,
        err: expect.stringContaining(`people: ${CORNEA.id}: it is not as it was written`),
      })
      await byHand('delete from seals')
      await expect(openStore(url, at(1))).rejects.toMatchObject({ code: 'STORE.SEALS-GONE' })
      expect(await seal(url, { secret: KEY })).toMatchObject({
        code: 2,
        err: expect.stringContaining('the row of seals is gone'),
      })
      expect(await seal(url, { secret: KEY, unchecked: true })).toMatchObject({
        code: 0,
        out: expect.stringContaining('not examined before'),
      })
      expect(await verify(url, KEY)).toMatchObject({ code: 0, err: '' })
    })

    it('cannot be written past: a statement that the sealing does not see is refused', async () => {
      const { url, store } = await opened()
      await store.close()
      const database = await openKeeping(url)
      await expect(sql`update people set name = 'x'`.execute(database.db)).rejects.toThrow('through the query builder only')
      await database.close()
    })
  })
}
