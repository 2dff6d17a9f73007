import type { Block } from '../cards/card.js'

export type Table = Extract<Block, { kind: 'table' }>

/** Characters as a reader counts them. */
const lengthOf = (text: string): number => [...text].length

/** The table in columns of equal width, or undefined when it is wider than the place it is for. */
export function alignedTable(table: Table, width: number): readonly string[] | undefined {
  const rows = [table.columns, ...table.rows]
  const widths = table.columns.map((_, column) => Math.max(...rows.map((row) => lengthOf(row[column] ?? ''))))
  if (widths.reduce((sum, one) => sum + one + 2, -2) > width) return undefined
  const line = (row: readonly string[]): string =>
    row
      .map((cell, column) => cell + ' '.repeat((widths[column] ?? 0) - lengthOf(cell)))
      .join('  ')
      .trimEnd()
  const [head, ...body] = rows.map(line)
  return [head ?? '', '-'.repeat(lengthOf(head ?? '')), ...body]
}

/** The cells of a row after its first, each with the name of its column: "2011 length adjustment −1.8 D". */
export const cellsInWords = (table: Table, row: readonly string[]): string =>
  row
    .slice(1)
    .map((cell, index) => `${table.columns[index + 1] ?? ''}: ${cell}`)
    .join(' · ')

/** One line a row, for a phone: the first cell, then each other cell with the name of its column. */
export const labelledRows = (table: Table): readonly string[] =>
  table.rows.map((row) => `${row[0] ?? ''} · ${cellsInWords(table, row)}`)
