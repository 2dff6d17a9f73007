import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { derive } from '../../../adapters/store/appending.js'
import { factsOf, missingFacts } from '../../../adapters/store/facts.js'
import { openSqliteDatabase, openSqliteStore } from '../../../adapters/store/sqlite/open.js'
import { makeMissingFacts } from '../../../adapters/workers/facts-work.js'
import { searchTrail } from '../../../src/desk/search-trail.js'
import type { PlacedRow } from '../../../src/trail/features.js'
import { at } from '../../consult/invented-people.js'
import { inventedPlan } from '../../contracts/invented-plan.js'
import { writePlans } from '../a-taught-trail-file.js'
import { changeByHand, trailFolder } from '../a-trail-file.js'

const files = trailFolder()
afterAll(files.clear)
const path = files.freshPath()

const QUIETLY = { log: { info: () => {} }, stopped: () => false, rest: async () => {} }

async function kept(make: (missing: ReturnType<typeof missingFacts>) => Promise<unknown>): Promise<readonly PlacedRow[]> {
  const database = openSqliteDatabase(path)
  await make(missingFacts(database, (writer, ref) => derive(database, writer, ref)))
  const rows: PlacedRow[] = []
  for await (const row of factsOf(database.db).similarRows('everything', 50)) rows.push(row)
  await database.close()
  return rows
}

describe('facts that an earlier version wrote no rows of', () => {
  let before: readonly PlacedRow[] = []
  beforeAll(async () => {
    await writePlans(
      path,
      [1, 2, 3, 4, 5, 6].map((number) => [`STONE-${number}`, inventedPlan()] as const),
    )
    before = await kept(async () => {})
  })

  it('are made a few at a time, the same as before, and what was made stays made', async () => {
    changeByHand(path, ['delete from facts where consult <> 3'])
    const made: number[] = []
    const half = await kept(async (missing) => made.push(await missing.count(), await missing.make(2), Number(missing.anyLeft())))
    expect(made).toEqual([5, 2, 1])
    expect(half.map(({ ref }) => ref)).toEqual(['STONE-3', 'STONE-2', 'STONE-1'])
    const rows = await kept(async (missing) => made.push(await missing.count(), await missing.make(2), await missing.make(2)))
    expect(made.slice(3)).toEqual([3, 2, 1])
    expect(before).toHaveLength(6)
    expect(rows).toEqual(before)
  })

  it('hold up no opening; until they are made words find every consult, and a range says that there may be more', async () => {
    changeByHand(path, ['delete from facts where consult < 4'])
    const store = await openSqliteStore(path, at(1))
    const found = async (words: string) => searchTrail(words, 'everything', 'everything', 20, store.view)
    expect(await store.missingFacts.count()).toBe(3)
    expect((await store.view.rowsOf(['STONE-2', 'STONE-6'])).map(({ ref }) => ref)).toEqual(['STONE-2', 'STONE-6'])
    expect(await found('STONE-2')).toMatchObject({ total: 1 })
    expect(await found('AL>20')).toMatchObject({ total: 3, lookedThroughAll: false })
    await makeMissingFacts(store.missingFacts, QUIETLY)
    expect(await found('AL>20')).toMatchObject({ total: 6, lookedThroughAll: true })
    await store.close()
  })

  it('are made with the words it is found by, which an earlier version took otherwise', async () => {
    changeByHand(path, ['delete from facts where consult = 2', 'delete from search where rowid = 2'])
    const store = await openSqliteStore(path, at(1))
    const found = async () => (await store.trail.find({ phrases: [['stone', '2']] }, 'everything', 5)).map(({ ref }) => ref)
    expect(await found()).toEqual([])
    await makeMissingFacts(store.missingFacts, QUIETLY)
    expect(await found()).toEqual(['STONE-2'])
    await store.close()
  })

  it('are made beside the work, which goes on between the pieces, and no further once the program is to stop', async () => {
    const done: string[] = []
    const missing = (pieces: readonly number[]) => {
      const left = [...pieces]
      const make = async () => {
        done.push('piece')
        return left.shift() ?? 0
      }
      return { count: async () => 45, anyLeft: () => true, make }
    }
    const rest = async () => void done.push('rest')
    await makeMissingFacts(missing([20, 20, 5]), { ...QUIETLY, rest })
    expect(done).toEqual(['piece', 'rest', 'piece', 'rest', 'piece'])
    done.length = 0
    await makeMissingFacts(missing([20, 20, 5]), { ...QUIETLY, rest, stopped: () => done.includes('rest') })
    expect(done).toEqual(['piece', 'rest'])
  })

  it('are left out of a consult whose events were altered, and made of the others', async () => {
    changeByHand(path, ['delete from facts', "update events set body = x'00' where ref = 'STONE-2'"])
    const rows = await kept((missing) => missing.make(20))
    expect(rows.map(({ ref }) => ref)).toEqual(['STONE-6', 'STONE-5', 'STONE-4', 'STONE-3', 'STONE-1'])
  })
})
