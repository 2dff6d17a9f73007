import { randomBytes } from 'node:crypto'
import {
  added,
  CHAINED,
  CHAINED_TABLES,
  type ChainEnd,
  type ChainedTable,
  keyCheck,
  NO_SUMS,
  readSums,
  rowSeal,
  SEALED,
  SEALED_TABLES,
  type SealKind,
  type SealsRow,
  SUMMED,
  SUMMED_TABLES,
  type Sums,
  sealedSums,
  sealKey,
  summand,
} from '../../src/trail/seals.js'
import { fault } from './database.js'
import { headText } from './text-packing.js'

export type Row = Readonly<Record<string, unknown>>
/** Asks the database something, inside the transaction that is under way. */
export type Run = (sql: string, parameters?: readonly unknown[]) => Promise<readonly Row[]>

/** What differs between databases where rows are sealed. */
export interface SealingDialect {
  /** The sign for the parameter of that number, counted from 1. */
  readonly parameter: (number: number) => string
  /** Keeps a row that was read from being changed by others until the transaction ends. */
  readonly lockRow: string
}

/** What the seals of this trail are made with. */
export interface Keys {
  readonly kind: Exclude<SealKind, 'none'>
  readonly salt: string
  readonly key: Buffer
}

export const SECRET_NAME = 'SOUNDINGS_SEAL_KEY'

const NEW_ROW = ({ parameter }: SealingDialect): string =>
  `insert into seals values (1, 'none', ${parameter(1)}, '', '', '0', '') on conflict do nothing`

/** How a trail is to be sealed. */
export interface Sealing {
  /** From the settings; without one the seals need none. */
  readonly secret: string | undefined
  /** Seals every row as it stands, whatever seals there were. */
  readonly anew?: boolean
}

/**
 * The keys of this trail, whose rows are sealed first where an earlier version wrote them.
 * It fails where the trail was sealed with another secret than the one given.
 */
export async function loadKeys(run: Run, how: SealingDialect, { secret, anew }: Sealing): Promise<Keys> {
  if (anew) {
    // Taken out by somebody, it is made once more; what that hides, a checkpoint still shows.
    await run(NEW_ROW(how), [randomBytes(16).toString('hex')])
    const row = await sealsRow(run, how.lockRow)
    return sealAll(run, how, secret, row.salt, unsealedSums(row).changes)
  }
  const row = await sealsRow(run, '')
  if (row.kind !== 'none') return keysFor(row, secret)
  const locked = await sealsRow(run, how.lockRow)
  if (locked.kind !== 'none') return keysFor(locked, secret)
  // Without a secret whoever could alter the rows could seal them too, so sealing what is found gives nothing away.
  if (secret !== undefined && !(await isEmpty(run)))
    throw fault(
      'STORE.UNSEALED',
      `The trail was written without ${SECRET_NAME}. Run "soundings verify", then "soundings seal --because …" with the key set`,
    )
  return sealAll(run, how, secret, locked.salt, 0)
}

export function keysFor({ kind, salt, key_check }: SealsRow, secret: string | undefined): Keys {
  const wanted = secret === undefined ? 'salt' : 'key'
  const key = sealKey(secret, salt)
  if (kind === wanted && keyCheck(key) === key_check) return { kind, salt, key }
  throw fault(
    'STORE.SEAL-KEY',
    kind === 'salt'
      ? `The trail is sealed without a key. Run "soundings verify" without ${SECRET_NAME}, then "soundings seal --because …" with it`
      : `The trail is sealed with ${secret === undefined ? 'a key' : 'another key'}: set ${SECRET_NAME} to the one it was sealed with`,
  )
}

async function sealsRow(run: Run, lock: string): Promise<SealsRow> {
  const [row] = await run(`select kind, salt, key_check, state, sum, seal from seals ${lock}`)
  if (!row)
    throw fault('STORE.SEALS-GONE', 'The row of seals was taken out of the trail. Run "soundings verify", then "soundings seal"')
  return row as unknown as SealsRow
}

export async function currentSums(run: Run, how: SealingDialect, { kind, salt, key }: Keys): Promise<CarriedSums> {
  const row = await sealsRow(run, how.lockRow)
  if (row.kind !== kind || row.salt !== salt)
    throw fault('STORE.SEALS-RENEWED', 'The trail was sealed anew meanwhile. Start the program again')
  // Altered sums are for whoever examines the trail to find; that they keep nobody from being answered, they are carried on as
  // they stand, under a seal that never fits again.
  return readSums(key, row) ?? { ...unsealedSums(row), broken: true as const }
}

/** Sums whose seal did not fit when they were read. */
export type CarriedSums = Sums & { readonly broken?: true }

function unsealedSums(row: SealsRow): Sums {
  try {
    return { ...NO_SUMS, ...(JSON.parse(row.state) as Omit<Sums, 'sum'>), sum: BigInt(`0x${row.sum}`) }
  } catch {
    return NO_SUMS
  }
}

export async function keepSums(run: Run, how: SealingDialect, keys: Keys, sums: CarriedSums): Promise<void> {
  const { broken, ...whole } = sums
  const row = sealedSums(keys.key, keys.kind, keys.salt, whole)
  await setSeals(run, how, broken ? { ...row, seal: '' } : row)
}

const setSeals = async (run: Run, { parameter }: SealingDialect, row: SealsRow): Promise<void> => {
  const columns = ['kind', 'salt', 'key_check', 'state', 'sum', 'seal'] as const
  await run(
    `update seals set ${columns.map((column, index) => `${column} = ${parameter(index + 1)}`).join(', ')}`,
    columns.map((column) => row[column]),
  )
}

async function isEmpty(run: Run): Promise<boolean> {
  for (const table of [...SEALED_TABLES, ...CHAINED_TABLES])
    if ((await run(`select 1 as one from ${table} limit 1`)).length > 0) return false
  return true
}

const ROWS_AT_ONCE = 500

/**
 * Seals every row as it stands, whatever seals there were.
 * @param changes counted until now: the count goes on, so that a checkpoint stays good
 */
async function sealAll(run: Run, how: SealingDialect, secret: string | undefined, salt: string, changes: number): Promise<Keys> {
  const keys: Keys = { kind: secret === undefined ? 'salt' : 'key', salt, key: sealKey(secret, salt) }
  const rows: Record<string, number> = { ...NO_SUMS.rows }
  let sum = 0n
  const add = (table: keyof Sums['rows'], row: Row): Buffer => {
    const seal = rowSeal(keys.key, table, row)
    sum = added(sum, summand(seal))
    rows[table] = (rows[table] ?? 0) + 1
    return seal
  }
  for (const table of SEALED_TABLES) {
    const set = setSeal(how, table)
    for await (const row of allRows(run, how, table, SEALED[table]))
      await run(set, [add(table, row), ...keyOf(SEALED[table], row)])
  }
  for (const table of SUMMED_TABLES) for await (const row of allRows(run, how, table, SUMMED[table])) add(table, row)
  const chains = { ...NO_SUMS.chains } as Record<ChainedTable, ChainEnd>
  for (const table of CHAINED_TABLES) {
    const [last] = await run(`select ${CHAINED[table]} as rows, hash from ${table} order by ${CHAINED[table]} desc limit 1`)
    if (last) chains[table] = { rows: Number(last['rows']), head: headText(last['hash']) }
  }
  await keepSums(run, how, keys, { changes: changes + 1, rows: rows as Sums['rows'], chains, sum })
  return keys
}

export const keyOf = (columns: readonly string[], row: Row): readonly unknown[] => columns.map((column) => row[column])

/** Puts a seal into one row. */
export const setSeal = ({ parameter }: SealingDialect, table: keyof typeof SEALED): string =>
  `update ${table} set seal = ${parameter(1)} where ${SEALED[table].map((column, index) => `${column} = ${parameter(index + 2)}`).join(' and ')}`

/** Every row of a table, in the order of its key. */
export async function* allRows(
  run: Run,
  { parameter }: SealingDialect,
  table: string,
  key: readonly string[],
): AsyncGenerator<Row> {
  const order = key.join(', ')
  const beyond = `where (${order}) > (${key.map((_, index) => parameter(index + 1)).join(', ')})`
  for (let last: Row | undefined; ; ) {
    const rows: readonly Row[] = await run(
      `select * from ${table} ${last ? beyond : ''} order by ${order} limit ${ROWS_AT_ONCE}`,
      last ? keyOf(key, last) : [],
    )
    yield* rows
    last = rows.at(-1)
    if (rows.length < ROWS_AT_ONCE) return
  }
}
