import Sqlite from 'better-sqlite3'
import { expect, it } from 'vitest'
import { preparingOnce } from '../../../adapters/store/sqlite/statements.js'

const numbers = 'select value from numbers order by value'

function opened() {
  const file = new Sqlite(':memory:')
  file.exec('create table numbers (value integer); insert into numbers values (1), (2), (3)')
  return { file, kept: preparingOnce(file) }
}

it('prepares a statement once for each text, and follows a change of the schema', () => {
  const { file, kept } = opened()
  const all = kept.prepare('select * from numbers where value < ?')
  expect(all.all([3])).toEqual([{ value: 1 }, { value: 2 }])
  expect(kept.prepare('select * from numbers where value < ?')).toBe(all)
  file.exec("alter table numbers add column name text default 'one'")
  expect(all.all([2])).toEqual([{ value: 1, name: 'one' }])
})

it('never gives a second reader a statement that is being read from', () => {
  const { kept } = opened()
  const read = kept.prepare(numbers).iterate([])
  expect(read.next().value).toEqual({ value: 1 })
  expect(kept.prepare(numbers).all([])).toHaveLength(3)
  expect(read.next().value).toEqual({ value: 2 })
  read.return?.()
  expect(kept.prepare(numbers).all([])).toHaveLength(3)
})

it('keeps those that were used last', () => {
  const { kept } = opened()
  const often = kept.prepare(numbers)
  const once = kept.prepare('select 0 as seldom')
  for (let form = 1; form <= 1_000; form += 1) {
    kept.prepare(`select ${form} as once`)
    expect(kept.prepare(numbers)).toBe(often)
  }
  expect(kept.prepare('select 0 as seldom')).not.toBe(once)
})
