import { afterAll, describe, expect, it } from 'vitest'
import { planOf } from '../../../adapters/store/reading.js'
import { openSqliteDatabase } from '../../../adapters/store/sqlite/open.js'
import { contentHash } from '../../../src/trail/chain.js'
import { PLAN_ALTERED } from '../../../src/trail/trail-store.js'
import { inventedPlan } from '../../contracts/invented-plan.js'
import { writePlans } from '../a-taught-trail-file.js'
import { changeByHand, trailFolder } from '../a-trail-file.js'

const files = trailFolder()
afterAll(files.clear)

/** The code of the fault that reading the plan ends in, after the file was changed by hand. */
async function faultAfter(...statements: readonly string[]): Promise<unknown> {
  const path = files.freshPath()
  await writePlans(path, [['STONE-1', inventedPlan()]])
  changeByHand(path, statements)
  const database = openSqliteDatabase(path)
  try {
    return await planOf(database.db, contentHash(inventedPlan())).then(
      (plan) => (plan === undefined ? 'erased' : 'read'),
      (fault: { code?: unknown }) => fault.code,
    )
  } finally {
    await database.close()
  }
}

describe('a plan that cannot be read', () => {
  it.each([
    ['update plans set body = substr(body, 1, 40)'],
    ["update plans set body = cast(substr(body, 1, 1) || x'ffffffffffffff7f' || substr(body, 5) as blob)"],
    ["update plans set body = x'00112233'"],
    ["update plan_pieces set text = text || 'x'"],
    ['delete from plan_pieces'],
  ])('was altered where its bytes are not those that were written: %s', async (statement) => {
    expect(await faultAfter(statement)).toBe(PLAN_ALTERED)
  })

  it('was not altered where the database gives no answer', async () => {
    const path = files.freshPath()
    await writePlans(path, [['STONE-1', inventedPlan()]])
    const database = openSqliteDatabase(path)
    const hash = contentHash(inventedPlan())
    const broken = new Proxy(database.db, {
      get(db, name) {
        const value = Reflect.get(db, name) as unknown
        if (name !== 'selectFrom') return typeof value === 'function' ? value.bind(db) : value
        return (table: 'plans') => {
          if (table === 'plans') return db.selectFrom(table)
          throw new Error('Connection terminated unexpectedly')
        }
      },
    })
    await expect(planOf(broken, hash)).rejects.toThrow('Connection terminated unexpectedly')
    await expect(planOf(database.db, hash)).resolves.toBeDefined()
    await database.close()
  })
})
