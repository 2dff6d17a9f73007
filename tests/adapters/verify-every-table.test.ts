import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { postgresIsThere, startPostgres, type TestPostgres } from '../tools/postgres.js'
import { alterColumn, anotherLike, exchange, putIn, rowsOf, TABLES, takeOut, unlike } from './every-table.js'
import { postgresBench, sqliteBench, type Value, type VerifyBench } from './verify-bench.js'

/** Neither unknown nor emptied by an erasure. */
const holdsSomething = (value: Value | undefined): boolean =>
  value !== null && value !== undefined && !(value instanceof Uint8Array && value.length === 0)

/** Changes every table of a trail by hand, in every column and in every way that a table can be changed; all must be found out. */
function everyTable(name: string, open: () => Promise<VerifyBench>): void {
  describe(`a trail in ${name}`, () => {
    let bench: VerifyBench
    beforeAll(async () => {
      bench = await open()
    })
    afterAll(() => bench.close())

    it('that nobody touched is as it should be', async () => {
      const { code, err } = await bench.verifyAfter(async () => {})
      expect(err).toBe('')
      expect(code).toBe(0)
    })

    describe.each(Object.keys(TABLES))('with the table %s', (table) => {
      it('altered in one column of one row is found out', async () => {
        const rows = await rowsOf(bench.ask, table)
        const [first] = rows
        if (!first) throw new Error(`${table} is empty`)
        for (const column of Object.keys(first)) {
          // There is one row of seals and can be no other.
          if ((table === 'seals' && column === 'one') || (await bench.givesItself(table, column))) continue
          const row = rows.find((one) => holdsSomething(one[column])) ?? first
          let altered = false
          const { code, err } = await bench.verifyAfter(async (ask) => {
            altered = await alterColumn(ask, table, column, row, rows)
          })
          expect(altered, `${column} can be altered`).toBe(true)
          expect(err, column).not.toBe('')
          expect(code, column).toBe(1)
        }
      })

      it('short of a row, the first or the last, is found out', async () => {
        const rows = await rowsOf(bench.ask, table)
        for (const row of new Set([rows[0], rows.at(-1)])) {
          if (!row) throw new Error(`${table} is empty`)
          const { code, err } = await bench.verifyAfter(takeOut(table, row))
          expect(err, JSON.stringify(row)).not.toBe('')
          expect(code).toBe(1)
        }
      })

      it.skipIf(table === 'seals')('with one row more, that looks like the others, is found out', async () => {
        const rows = await rowsOf(bench.ask, table)
        const [row] = rows
        if (!row) throw new Error(`${table} is empty`)
        const { code, err } = await bench.verifyAfter(putIn(bench, table, anotherLike(table, row)))
        expect(err).not.toBe('')
        expect(code).toBe(1)
      })

      it.skipIf(table === 'seals')('with two rows in each other’s places is found out', async () => {
        const [one, other] = unlike(table, await rowsOf(bench.ask, table))
        const { code, err } = await bench.verifyAfter(exchange(bench, table, one, other))
        expect(err).not.toBe('')
        expect(code).toBe(1)
      })
    })
  })
}

everyTable('SQLite', () => sqliteBench())

describe.runIf(postgresIsThere())('PostgreSQL', () => {
  let server: TestPostgres
  beforeAll(async () => {
    server = await startPostgres()
  })
  afterAll(() => server.stop())
  everyTable('PostgreSQL', () => postgresBench(server))
})
