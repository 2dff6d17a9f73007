import { afterAll, beforeAll, describe } from 'vitest'
import { openPostgresDatabase, openPostgresStore } from '../../../adapters/store/postgres/open.js'
import { at } from '../../consult/invented-people.js'
import { keepingContract } from '../../contracts/keeping-contract.js'
import { storeContract } from '../../contracts/store-contract.js'
import { postgresIsThere, startPostgres, type TestPostgres } from '../../tools/postgres.js'

describe.runIf(postgresIsThere())('PostgreSQL', () => {
  let server: TestPostgres
  beforeAll(async () => {
    server = await startPostgres()
  })
  afterAll(() => server.stop())

  storeContract('PostgreSQL', async () => openPostgresStore(await server.freshSchema(), at(0)))
  keepingContract('PostgreSQL', async () => openPostgresDatabase(await server.freshSchema()))
})
