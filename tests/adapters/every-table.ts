import type { Ask, Change, Row, Value, VerifyBench } from './verify-bench.js'

/** Every table that a trail has in any database, with the columns that name a row and those that no two rows share. */
export const TABLES: Readonly<Record<string, { readonly key: readonly string[]; readonly unique?: readonly string[] }>> = {
  events: { key: ['position'], unique: ['version'] },
  texts: { key: ['commitment'] },
  plans: { key: ['hash'] },
  plan_pieces: { key: ['number'], unique: ['text'] },
  plan_orders: { key: ['number'] },
  consults: { key: ['number'], unique: ['ref'] },
  facts: { key: ['consult'] },
  drafts: { key: ['number'], unique: ['id'] },
  people: { key: ['id'] },
  inbox: { key: ['seq'], unique: ['key'] },
  outbox: { key: ['seq'], unique: ['part'] },
  waking: { key: ['ref'] },
  person_settings: { key: ['id'] },
  record_acts: { key: ['number'] },
  accesses: { key: ['number'] },
  conversations: { key: ['tenant', 'id'] },
  audiences: { key: ['platform', 'workspace', 'channel'] },
  seals: { key: ['one'] },
}

const keyOf = (table: string): readonly string[] => TABLES[table]?.key ?? []
const where = (table: string): string =>
  keyOf(table)
    .map((column) => `${column} = ?`)
    .join(' and ')
const keyIn = (table: string, row: Row): readonly Value[] => keyOf(table).map((column) => row[column] ?? null)

export const rowsOf = (ask: Ask, table: string): Promise<readonly Row[]> =>
  ask(`select * from ${table} order by ${keyOf(table).join(', ')}`)

/** Words that stand in columns which take only some. */
const WORDS = ['cancelled', 'failed', 'sent', 'refused', 'note', 'group', 'closed', 'viewed', 'hold-lifted', 'salt', 'none', 'x']

/** Other values for a column, the most harmless looking first. */
function otherValues(value: Value, others: readonly Value[]): readonly Value[] {
  const elsewhere = others.filter((other) => other !== null)
  if (typeof value === 'number') return [value + 1, value - 1, 0, 1, ...elsewhere]
  if (value instanceof Uint8Array) return [Buffer.from(value.map((byte, index) => (index === 0 ? byte ^ 1 : byte))), null]
  if (value === null) return [...elsewhere, 'x', 1, Buffer.from('00', 'hex')]
  return [
    ...elsewhere,
    value.replace(/[0-8a-y](?=[^0-9a-z]*$)/, (last) => String.fromCharCode(last.charCodeAt(0) + 1)),
    ...WORDS,
    null,
  ]
}

const same = (one: Value, other: Value): boolean =>
  one instanceof Uint8Array && other instanceof Uint8Array ? Buffer.compare(one, other) === 0 : one === other

/** Changes one column of one row to some other value that the database takes; false where it takes none. */
export async function alterColumn(ask: Ask, table: string, column: string, row: Row, rows: readonly Row[]): Promise<boolean> {
  const value = row[column] ?? null
  const others = rows.map((other) => other[column] ?? null)
  for (const other of otherValues(value, others).filter((candidate) => !same(candidate, value))) {
    await ask('savepoint tried')
    try {
      await ask(`update ${table} set ${column} = ? where ${where(table)}`, [other, ...keyIn(table, row)])
      await ask('release savepoint tried')
      return true
    } catch {
      await ask('rollback to savepoint tried')
    }
  }
  return false
}

export const takeOut =
  (table: string, row: Row): Change =>
  (ask) =>
    ask(`delete from ${table} where ${where(table)}`, keyIn(table, row))

export function putIn({ overriding }: VerifyBench, table: string, row: Row): Change {
  const columns = Object.keys(row)
  return (ask) =>
    ask(
      `insert into ${table} (${columns.map((column) => `"${column}"`).join(', ')}) ${overriding} values (${columns.map(() => '?').join(', ')})`,
      columns.map((column) => row[column] ?? null),
    )
}

function next(value: Value | undefined): Value {
  if (value instanceof Uint8Array) return Buffer.from(value.map((byte) => byte ^ 1))
  return typeof value === 'number' ? value + 1000 : `${String(value ?? '')}x`
}

/** A copy of a row under another key, in everything else as a row of this table looks. */
export function anotherLike(table: string, row: Row): Row {
  const columns = [...keyOf(table).slice(-1), ...(TABLES[table]?.unique ?? [])]
  return { ...row, ...Object.fromEntries(columns.map((column) => [column, next(row[column])])) }
}

/** The first row, and the last that holds something else beside its key: exchanging two erased ones would change nothing. */
export function unlike(table: string, rows: readonly Row[]): readonly [Row, Row] {
  const held = (row: Row) => JSON.stringify(Object.entries(row).filter(([column]) => !keyOf(table).includes(column)))
  const [one] = rows
  const other = rows.findLast((row) => one && held(row) !== held(one))
  if (!one || !other) throw new Error(`${table} has no two rows that differ`)
  return [one, other]
}

/** Two rows in each other's places. */
export function exchange(bench: VerifyBench, table: string, one: Row, other: Row): Change {
  const key = (row: Row) => Object.fromEntries(keyOf(table).map((column) => [column, row[column] ?? null]))
  return async (ask) => {
    await takeOut(table, one)(ask)
    await takeOut(table, other)(ask)
    await putIn(bench, table, { ...one, ...key(other) })(ask)
    await putIn(bench, table, { ...other, ...key(one) })(ask)
  }
}
