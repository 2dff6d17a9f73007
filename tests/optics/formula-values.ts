import { readFileSync } from 'node:fs'

/** One row of values.csv: numbers by column, flags apart. */
export interface ValueRow {
  readonly row: number
  readonly flags: readonly string[]
  readonly at: (column: string) => number
}

/** Reads values.csv, whose header says where its numbers come from. */
export function formulaValues(): readonly ValueRow[] {
  const lines = readFileSync(new URL('./values.csv', import.meta.url), 'utf8')
    .split('\n')
    .filter((line) => line !== '' && !line.startsWith('#'))
  const columns = (lines[0] ?? '').split(',')
  return lines.slice(1).map((line) => {
    const cells = line.split(',')
    const at = (column: string): number => {
      const cell = cells[columns.indexOf(column)]
      if (cell === undefined || cell === '') throw new Error(`values.csv has no ${column} in: ${line}`)
      return Number(cell)
    }
    return { row: at('row'), flags: (cells[columns.indexOf('flags')] ?? '').split('|').filter(Boolean), at }
  })
}
