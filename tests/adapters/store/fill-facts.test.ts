import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { factsOf, fillFacts } from '../../../adapters/store/facts.js'
import { openSqliteDatabase, openSqliteStore } from '../../../adapters/store/sqlite/open.js'
import type { PlacedRow } from '../../../src/trail/features.js'
import { at } from '../../consult/invented-people.js'
import { inventedPlan } from '../../contracts/invented-plan.js'
import { writePlans } from '../a-taught-trail-file.js'
import { changeByHand, trailFolder } from '../a-trail-file.js'

const files = trailFolder()
afterAll(files.clear)
const path = files.freshPath()

async function filled(): Promise<{ readonly rows: readonly PlacedRow[]; readonly told: readonly (readonly number[])[] }> {
  const database = openSqliteDatabase(path)
  const told: (readonly number[])[] = []
  const rows: PlacedRow[] = []
  await fillFacts(database, (done, of) => told.push([done, of]), 2)
  for await (const row of factsOf(database.db).similarRows('everything', 50)) rows.push(row)
  await database.close()
  return { rows, told }
}

describe('facts that an earlier version wrote no rows of', () => {
  let before: readonly PlacedRow[] = []
  beforeAll(async () => {
    await writePlans(
      path,
      [1, 2, 3, 4, 5, 6].map((number) => [`STONE-${number}`, inventedPlan()] as const),
    )
    before = (await filled()).rows
  })

  it('are made piece by piece, each piece told, the same as before', async () => {
    changeByHand(path, ['delete from facts where consult <> 3'])
    const { rows, told } = await filled()
    expect(before).toHaveLength(6)
    expect(rows).toEqual(before)
    expect(told).toEqual([
      [2, 5],
      [4, 5],
      [5, 5],
    ])
  })

  it('are not gone through where none is missing', async () => {
    expect((await filled()).told).toEqual([])
  })

  it('are made as the server opens the trail, which says how far it has come', async () => {
    changeByHand(path, ['delete from facts'])
    const told: (readonly number[])[] = []
    const store = await openSqliteStore(path, at(1), undefined, (done, of) => told.push([done, of]))
    expect(await store.view.rowsOf(['STONE-6'])).toHaveLength(1)
    await store.close()
    expect(told).toEqual([[6, 6]])
  })
})
