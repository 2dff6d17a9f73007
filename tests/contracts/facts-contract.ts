import { describe, expect, it } from 'vitest'
import type { PlacedRow } from '../../src/trail/features.js'
import type { Scope } from '../../src/trail/trail-store.js'
import { decided } from '../consult/a-life.js'
import { ASKER, at, CORNEA, PLACE, RETINA } from '../consult/invented-people.js'
import { agreed, comment, type StoreBench } from './store-bench.js'

export function factsContract(bench: StoreBench): void {
  const rows = async (scope: Scope = 'everything', limit = 10, before?: string): Promise<readonly PlacedRow[]> => {
    const found: PlacedRow[] = []
    for await (const row of bench.store().view.similarRows(scope, limit, before)) found.push(row)
    return found
  }
  const refs = async (...wanted: Parameters<typeof rows>) => (await rows(...wanted)).map(({ ref }) => ref)

  describe('the facts of consults', () => {
    it('are those of the plan, with the place and the people of the consult', async () => {
      await bench.ask('MARSH-7')
      await bench.bringAbout({ events: [agreed('MARSH-7', CORNEA), comment('MARSH-7', 'ring ready?', RETINA)], expected: 1 })
      const [row] = await rows()
      expect(row).toMatchObject({
        ref: 'MARSH-7',
        place: PLACE,
        askedBy: ASKER,
        opinions: 1,
        partOf: [ASKER.id, CORNEA.id, RETINA.id],
        numbers: { axialLengthMm: 29.6 },
      })
    })

    it('tell who has a part in it by id alone where somebody is known, since people choose their own names', async () => {
      const { id, name } = RETINA
      const asking = { asked: [name, 'Somebody New'], reached: [{ of: name, name, id }] }
      await bench.ask('MARSH-7', 'Chop?', { asking })
      const task = { type: 'task-opened', task: 'T1', what: 'B-scan', owner: CORNEA.name, from: 'typed' } as const
      const reached = [{ of: CORNEA.name, name: CORNEA.name, id: CORNEA.id }]
      await bench.bringAbout({ events: [{ ...task, reached, ref: 'MARSH-7', by: ASKER, at: at(3) }], expected: 1 })
      expect((await rows())[0]?.partOf).toEqual([ASKER.id, id, 'Somebody New', CORNEA.id])
    })

    it('name whoever decided, so that they are found by it', async () => {
      await bench.ask('MARSH-7')
      await bench.bringAbout({ events: [{ ...decided(), ref: 'MARSH-7', by: RETINA }], expected: 1 })
      expect((await rows())[0]?.people).toEqual([ASKER.name, RETINA.name])
    })

    it('come newest first, no more than wanted, and only of those asked before a time', async () => {
      await bench.ask('MARSH-7', 'Chop?', { at: at(1) })
      await bench.ask('QUAY-2', 'Chop?', { at: at(3) })
      await bench.ask('HEATH-4', 'Chop?', { at: at(2) })
      expect(await refs()).toEqual(['QUAY-2', 'HEATH-4', 'MARSH-7'])
      expect(await refs('everything', 2)).toEqual(['QUAY-2', 'HEATH-4'])
      expect(await refs('everything', 10, at(2))).toEqual(['MARSH-7'])
    })

    it('stay within one workspace when asked to', async () => {
      await bench.ask('MARSH-7')
      await bench.ask('QUAY-2', 'Chop?', { place: { ...PLACE, workspace: 'T2' } })
      expect(await refs({ platform: 'slack', workspace: 'T2' })).toEqual(['QUAY-2'])
    })

    it('are given by reference in the order asked for', async () => {
      await bench.ask('MARSH-7')
      await bench.ask('QUAY-2')
      const found = await bench.store().view.rowsOf(['QUAY-2', 'NONE-1', 'MARSH-7'])
      expect(found.map(({ ref }) => ref)).toEqual(['QUAY-2', 'MARSH-7'])
      expect(await bench.store().view.rowsOf([])).toEqual([])
    })

    it('do not give away an opinion that is hidden, nor is it found by its words', async () => {
      await bench.ask('MARSH-7', 'Chop?', { hideUntil: 2 })
      await bench.bringAbout({ events: [agreed('MARSH-7', CORNEA, 'trypan')], expected: 1 })
      const found = () => bench.store().trail.find({ phrases: [['trypan']] }, 'everything', 5)
      expect((await rows())[0]?.people).toEqual([ASKER.name])
      expect(await found()).toEqual([])
      await bench.bringAbout({ events: [agreed('MARSH-7', RETINA)], expected: 2 })
      expect((await rows())[0]?.people).toEqual([ASKER.name, CORNEA.name, RETINA.name])
      expect(await found()).toHaveLength(1)
    })
  })

  it('a comment is found by what it says now, and no more by what was taken back', async () => {
    await bench.ask('MARSH-7')
    const found = async (word: string) => (await bench.store().trail.find({ phrases: [[word]] }, 'everything', 5)).length
    const said = { ref: 'MARSH-7', by: RETINA, message: 'm9' }
    await bench.bringAbout({ events: [{ ...comment('MARSH-7', 'iris hooks'), message: 'm9' }], expected: 1 })
    expect(await found('hooks')).toBe(1)
    await bench.bringAbout({ events: [{ type: 'comment-edited', ...said, at: at(5), text: 'a ring' }], expected: 2 })
    expect([await found('hooks'), await found('ring')]).toEqual([0, 1])
    await bench.bringAbout({ events: [{ type: 'comment-deleted', ...said, at: at(6) }], expected: 3 })
    expect([await found('hooks'), await found('ring'), await found('marsh')]).toEqual([0, 0, 1])
  })

  it('a look at the trail is noted with what it brings about, once', async () => {
    const { id, name } = ASKER
    const access = { by: { id, name }, what: 'searched', words: 'AL>30', at: at(1) } as const
    expect(await bench.bringAbout({ accesses: [access] })).toBe('committed')
    expect(await bench.store().accessLog.newest(5)).toEqual([access])
  })
}
