/** A cell: a number is written as a number, a text is guarded against being run as a formula. */
export type Cell = string | number | undefined

/**
 * A sign that makes a spreadsheet take a text for a formula, also behind blanks, also in its full-width form.
 * The true minus sign (U+2212), with which this project writes dioptres, is none of them.
 */
const FORMULA_BEGINS = /^[\s\p{Cc}]*[=+\-@＝＋－＠]/u

/**
 * One record as RFC 4180 (2005) has it, section 2: cells parted by commas, ended by CR LF, a cell quoted where it holds
 * a comma, a quote or a line end, a quote within it doubled. Cells with a semicolon, a tab or blanks at an end are quoted
 * too, since spreadsheets in some countries part cells there.
 *
 * A text that a spreadsheet would run as a formula gets an apostrophe in front. A number needs none: it can only be read
 * as that number, so a signed power stays what it is.
 */
export const csvRecord = (cells: readonly Cell[]): string => `${cells.map(written).join(',')}\r\n`

function written(cell: Cell): string {
  if (cell === undefined) return ''
  if (typeof cell === 'number') {
    if (!Number.isFinite(cell)) throw new Error(`${cell} has no form in CSV`)
    return String(cell)
  }
  const text = FORMULA_BEGINS.test(cell) ? `'${cell}` : cell
  return /[",;\t\r\n]|^\s|\s$/u.test(text) ? `"${text.replaceAll('"', '""')}"` : text
}
