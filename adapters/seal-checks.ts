import {
  added,
  CHAINED_TABLES,
  type ChainEnd,
  type ChainedTable,
  readSums,
  rowName,
  rowSeal,
  SEALED,
  type SealableRow,
  type SealedTable,
  type SealsRow,
  type SummedTable,
  type Sums,
  summand,
} from '../src/trail/seals.js'
import { keysFor, SECRET_NAME } from './store/seal-keeping.js'

/** The seals of a trail, against which its rows are held one by one and, at the end, as a whole. */
export interface SealCheck {
  /** What is wrong with the seal of a row that carries one; nothing where it fits or cannot be told. */
  row(table: SealedTable, row: SealableRow): string | undefined
  /** Takes in a row that carries no seal of its own. */
  sum(table: SummedTable, row: SealableRow): void
  /** What is wrong with the whole, once every row was held against it. */
  whole(ends: Readonly<Record<ChainedTable, ChainEnd>>): readonly string[]
  /** How many transactions had changed what is sealed; absent where that cannot be told. */
  readonly changes?: number
}

const CHAIN_NAMES: Readonly<Record<ChainedTable, string>> = {
  events: 'the events',
  record_acts: 'the acts on the records',
  accesses: 'the accesses',
}

/** @param rows of the table of seals: one, in a trail that is as it should be */
export function sealCheck(rows: readonly SealsRow[], secret: string | undefined): SealCheck {
  const [row] = rows
  if (!row || rows.length > 1)
    return unknowable([rows.length > 1 ? 'there is more than one row of seals' : 'the row of seals is gone'])
  if (row.kind === 'none')
    return unknowable(['nothing is sealed yet. Start the server once, or run "soundings seal --because …"'], 'empty-is-whole')
  let key: Buffer
  try {
    key = keysFor(row, secret).key
  } catch (fault) {
    return unknowable([fault instanceof Error ? fault.message : `${SECRET_NAME} does not fit`])
  }
  const sums = readSums(key, row)
  if (!sums) return unknowable(['the sums are not as they were sealed'])
  return checkAgainst(key, sums)
}

function checkAgainst(key: Buffer, sums: Sums): SealCheck {
  const counted: Record<string, number> = {}
  let sum = 0n
  let altered = false
  const take = (table: SealedTable | SummedTable, seal: Uint8Array) => {
    counted[table] = (counted[table] ?? 0) + 1
    sum = added(sum, summand(seal))
  }
  return {
    changes: sums.changes,

    row(table, row) {
      const seal = row['seal']
      if (!(seal instanceof Uint8Array)) {
        altered = true
        return `${rowName(table, row)}: it was not put in by this program: it has no seal`
      }
      take(table, seal)
      if (rowSeal(key, table, row).equals(seal)) return undefined
      altered = true
      return `${rowName(table, row)}: it is not as it was written: its seal does not fit`
    },

    sum(table, row) {
      take(table, rowSeal(key, table, row))
    },

    whole(ends) {
      const counts = Object.entries(sums.rows).flatMap(([table, rows]) => {
        const found = counted[table] ?? 0
        if (found === rows) return []
        return [`${table}: ${found} rows stand there, ${rows} were written`]
      })
      const chains = CHAINED_TABLES.flatMap((table) => {
        const [found, sealed] = [ends[table], sums.chains[table]]
        if (found.rows === sealed.rows && found.head === sealed.head) return []
        return [
          found.rows < sealed.rows
            ? `${CHAIN_NAMES[table]} end at number ${found.rows}, ${sealed.rows} were written: they were cut off at their end`
            : `${CHAIN_NAMES[table]} are not those that were written: they end otherwise at number ${found.rows}`,
        ]
      })
      const faults = [...counts, ...chains]
      // Each row fits, none is missing in number, and still these are not the rows that were summed.
      if (faults.length === 0 && !altered && sum !== sums.sum)
        return [
          'an earlier state of a row was put back, or one row stands for another: they are not those that were written last',
        ]
      return faults
    },
  }
}

function unknowable(faults: readonly string[], empty?: 'empty-is-whole'): SealCheck {
  let rows = 0
  const nothing = (): undefined => {
    rows += 1
    return undefined
  }
  return {
    row: nothing,
    sum: nothing,
    whole: (ends) =>
      empty && rows === 0 && CHAINED_TABLES.every((table) => ends[table].rows === 0)
        ? []
        : [...faults, `Rows of ${Object.keys(SEALED).join(', ')} were not held against their seals`],
  }
}
