import Sqlite from 'better-sqlite3'
import { afterAll, beforeAll, describe } from 'vitest'
import { sealingContract } from '../../contracts/sealing-contract.js'
import { postgresIsThere, startPostgres, type TestPostgres } from '../../tools/postgres.js'
import { trailFolder } from '../a-trail-file.js'

const files = trailFolder()
afterAll(files.clear)

sealingContract('SQLite', async () => {
  const path = files.freshPath()
  return {
    url: `sqlite:${path}`,
    async byHand(...statements) {
      const file = new Sqlite(path)
      const guards = file.prepare("select name, sql from sqlite_master where type = 'trigger'").all() as Record<string, string>[]
      for (const { name } of guards) file.exec(`drop trigger ${name}`)
      for (const statement of statements) file.exec(statement)
      for (const { sql } of guards) file.exec(sql ?? '')
      file.close()
    },
  }
})

describe.runIf(postgresIsThere())('PostgreSQL', () => {
  let server: TestPostgres
  beforeAll(async () => {
    server = await startPostgres()
  })
  afterAll(() => server.stop())
  sealingContract('PostgreSQL', async () => {
    const url = await server.freshSchema()
    return {
      url,
      async byHand(...statements) {
        await server.query(url, ['set session_replication_role = replica', ...statements].join('; '))
      },
    }
  })
})
