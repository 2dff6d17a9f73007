import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll } from 'vitest'
import { openSqliteDatabase, openSqliteStore } from '../../../adapters/store/sqlite/open.js'
import { at } from '../../consult/invented-people.js'
import { keepingContract } from '../../contracts/keeping-contract.js'
import { storeContract } from '../../contracts/store-contract.js'

const folder = mkdtempSync(join(tmpdir(), 'soundings-store-'))
let files = 0
afterAll(() => rmSync(folder, { recursive: true }))

storeContract('SQLite in memory', () => openSqliteStore(':memory:', at(0)))
storeContract('an SQLite file', () => {
  files += 1
  return openSqliteStore(join(folder, `trail-${files}.db`), at(0))
})
keepingContract('SQLite', async () => openSqliteDatabase(':memory:'))
