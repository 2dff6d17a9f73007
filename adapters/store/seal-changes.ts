import {
  added,
  CHAINED,
  type ChainEnd,
  type ChainedTable,
  rowName,
  rowSeal,
  SEALED,
  type SealedTable,
  SUMMED,
  type SummedTable,
  type Sums,
  summand,
  taken,
} from '../../src/trail/seals.js'
import { currentSums, type Keys, keepSums, keyOf, type Row, type Run, type SealingDialect, setSeal } from './seal-keeping.js'
import { headText } from './text-packing.js'

/** What one transaction has changed of what is sealed, until its end, when it is settled. */
export interface Changes {
  readonly keys: Keys
  /** Rows as they stand now, with the seal that they had before the transaction. */
  readonly rows: Map<string, { readonly table: SealedTable; readonly row: Row; readonly before: Uint8Array | undefined }>
  /** Where what was added to a chain begins and ends. */
  readonly chains: Map<ChainedTable, { readonly from: ChainEnd; readonly to: ChainEnd }>
  readonly counts: Map<SealedTable | SummedTable, number>
  sum: bigint
  touched: boolean
}

export const changesUnder = (keys: Keys): Changes => ({
  keys,
  rows: new Map(),
  chains: new Map(),
  counts: new Map(),
  sum: 0n,
  touched: false,
})

type Watched = SealedTable | SummedTable | ChainedTable
const isSealed = (table: Watched): table is SealedTable => table in SEALED
const isSummed = (table: Watched): table is SummedTable => table in SUMMED

const sealIn = (row: Row): Uint8Array | undefined => (row['seal'] instanceof Uint8Array ? row['seal'] : undefined)
const named = (table: SealedTable, row: Row): string => `${table} ${rowName(table, row)}`

function count(changes: Changes, table: SealedTable | SummedTable, by: number): void {
  changes.counts.set(table, (changes.counts.get(table) ?? 0) + by)
}

export function afterInsert(changes: Changes, table: Watched, rows: readonly Row[]): void {
  if (rows.length > 0) changes.touched = true
  for (const row of rows) {
    if (isSealed(table)) keep(changes, table, row)
    else if (isSummed(table)) {
      changes.sum = added(changes.sum, summand(rowSeal(changes.keys.key, table, row)))
      count(changes, table, 1)
    } else {
      const rows = Number(row[CHAINED[table]])
      const from = changes.chains.get(table)?.from ?? { rows: rows - 1, head: headText(row['previous']) }
      changes.chains.set(table, { from, to: { rows, head: headText(row['hash']) } })
    }
  }
}

/**
 * A row that somebody has altered, or put in, past the seals stays as it is found: a change of ours must not make it look whole.
 * @param before the same rows before the change
 */
export function afterUpdate(changes: Changes, table: SealedTable, rows: readonly Row[], before: readonly Row[]): void {
  if (rows.length > 0) changes.touched = true
  const was = new Map(before.map((row) => [named(table, row), row]))
  for (const row of rows) {
    const name = named(table, row)
    const earlier = was.get(name)
    if (changes.rows.has(name) || !earlier || isWhole(changes.keys, table, earlier)) keep(changes, table, row)
  }
}

function isWhole({ key }: Keys, table: SealedTable, row: Row): boolean {
  const seal = sealIn(row)
  return seal !== undefined && rowSeal(key, table, row).equals(seal)
}

function keep(changes: Changes, table: SealedTable, row: Row): void {
  const name = named(table, row)
  const known = changes.rows.get(name)
  changes.rows.set(name, { table, row, before: known ? known.before : sealIn(row) })
}

export function afterDelete(changes: Changes, table: SealedTable, rows: readonly Row[]): void {
  if (rows.length > 0) changes.touched = true
  for (const row of rows) {
    const name = named(table, row)
    const known = changes.rows.get(name)
    changes.rows.delete(name)
    const seal = known ? known.before : sealIn(row)
    // Without a seal it was made in this transaction, or put in past the seals: either way it is not in the sum.
    if (!seal) continue
    changes.sum = taken(changes.sum, summand(seal))
    count(changes, table, -1)
  }
}

/** Seals the rows of a transaction and brings the sums along, as the last thing before it is committed. */
export async function settle(run: Run, how: SealingDialect, changes: Changes): Promise<void> {
  if (!changes.touched) return
  const { keys } = changes
  for (const { table, row, before } of changes.rows.values()) {
    const seal = rowSeal(keys.key, table, row)
    if (before && seal.equals(before)) continue
    await run(setSeal(how, table), [seal, ...keyOf(SEALED[table], row)])
    if (before) changes.sum = taken(changes.sum, summand(before))
    else count(changes, table, 1)
    changes.sum = added(changes.sum, summand(seal))
  }
  const sums = await currentSums(run, how, keys)
  const rows: Record<string, number> = { ...sums.rows }
  for (const [table, by] of changes.counts) rows[table] = (rows[table] ?? 0) + by
  const chains: Record<string, ChainEnd> = { ...sums.chains }
  for (const [table, { from, to }] of changes.chains) {
    const end = chains[table]
    // A chain that was cut off meanwhile is not continued as if it had not been: its sealed end stays the one that is missing.
    if (end?.rows === from.rows && end.head === from.head) chains[table] = to
  }
  await keepSums(run, how, keys, {
    ...sums,
    changes: sums.changes + 1,
    rows: rows as Sums['rows'],
    chains: chains as Sums['chains'],
    sum: added(sums.sum, changes.sum),
  })
}
