import Sqlite from 'better-sqlite3'
import { afterAll, describe, expect, it } from 'vitest'
import { openSqliteReading, openSqliteStore } from '../../../adapters/store/sqlite/open.js'
import { verifyChain } from '../../../src/trail/verify.js'
import { at } from '../../consult/invented-people.js'
import { askedAs } from '../../contracts/store-contract-cases.js'
import { knowPacking, trailFolder } from '../a-trail-file.js'
import { ask } from './asking.js'

const { freshPath, clear } = trailFolder()
afterAll(clear)

/** A closed trail of three consults, and one changed by hand in its file. */
async function tampered(...statements: string[]) {
  const path = freshPath()
  const store = await openSqliteStore(path, at(0))
  for (const ref of ['MARSH-7', 'QUAY-2', 'HEATH-4']) await ask(store, ref)
  await store.close()
  const file = new Sqlite(path)
  for (const trigger of file.prepare("select name from sqlite_master where type = 'trigger'").pluck().all())
    file.exec(`drop trigger ${trigger}`)
  knowPacking(file)
  for (const statement of statements) file.exec(statement)
  file.close()
  return openSqliteReading(path)
}

describe('a trail changed by hand', () => {
  it.each([
    [
      'a body',
      ["update events set body = packed(replace(unpacked(body), 'Wren', 'Lark')) where position = 2"],
      'event-altered',
      2,
    ],
    ['a hash', ['update events set hash = previous where position = 2'], 'event-altered', 2],
    ['the hash before', ['update events set previous = hash where position = 3'], 'event-altered', 3],
    ['a reference', ["update events set ref = 'OTHER-1' where position = 2"], 'event-altered', 2],
    ['a version', ['update events set version = 2 where position = 2'], 'event-altered', 2],
    ['the first event removed', ['delete from events where position = 1'], 'event-missing', 1],
    ['an event removed', ['delete from events where position = 2'], 'event-missing', 2],
    [
      'an event removed and the next moved up',
      ['delete from events where position = 2', 'update events set position = 2 where position = 3'],
      'event-altered',
      2,
    ],
    [
      'two events changed over',
      [
        'update events set position = 9 where position = 1',
        'update events set position = 1 where position = 2',
        'update events set position = 2 where position = 9',
      ],
      'event-altered',
      1,
    ],
    ['a text', ["update texts set text = packed('Other?') where text = packed('Chop?')"], 'text-altered', 1],
    ['a salt', ["update texts set salt = 'x' where text = packed('Chop?')"], 'text-altered', 1],
    ['a text removed', ["delete from texts where text = packed('Chop?')"], 'text-missing', 1],
  ])('is found out: %s', async (_what, statements, fault, position) => {
    const { trail, close } = await tampered(...statements)
    expect(await verifyChain(trail.links(), trail.keptText)).toMatchObject({ intact: false, fault, position })
    await close()
  })

  it.each([
    ["update plans set body = x'789c'"],
    ["update plan_pieces set text = replace(text, 'Lower the bottle', 'Raise the bottle')"],
    ['update plan_pieces set number = number + 1000'],
    ['delete from plan_pieces'],
    ["update plan_orders set pieces = x'0300'"],
    ['delete from plan_orders'],
  ])('does not show a plan that is not the one written there: %s', async (statement) => {
    const { trail, close } = await tampered(statement)
    const { plan } = askedAs('MARSH-7', 'Chop?')
    await expect(trail.plan(plan.hash)).rejects.toMatchObject({ code: 'STORE.PLAN-ALTERED' })
    await close()
  })

  it('is whole when nothing was changed', async () => {
    const { trail, close } = await tampered()
    expect(await verifyChain(trail.links(), trail.keptText)).toMatchObject({ intact: true, events: 3 })
    await close()
  })
})
