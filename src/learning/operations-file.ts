/** One operation of the unit, whether or not it was a consult. */
export interface ImportedOperation {
  /** ISO date. */
  readonly day: string
  /** Capsule rupture or vitreous loss. */
  readonly rupture: boolean
  /** The consult it belongs to, where it was one: its own expected risk is then used. */
  readonly ref?: string
}

export type OperationsFile =
  | { readonly operations: readonly ImportedOperation[] }
  /** Sentences: line, column, what was wrong, what to write instead. */
  | { readonly faults: readonly string[] }

const MOST_FAULTS = 20
const ANSWERS: Readonly<Record<string, boolean>> = { yes: true, no: false }
const REF = /^[A-Z]{3,12}-\d{1,6}$/

/**
 * Reads the operations of a unit from CSV: a line of headings with `date` and `rupture`, and `consult` where there is
 * one. Other columns are not looked at. Refused as a whole when any line is wrong: a chart over some of the lines would
 * have a denominator that nobody knows.
 */
export function readOperations(text: string): OperationsFile {
  const lines = text.replace(/^\uFEFF/, '').split(/\r\n|\n|\r/)
  const [heading = '', ...rows] = lines
  const separator = [',', ';', '\t'].find((one) => heading.includes(one)) ?? ','
  const headings = cellsOf(heading, separator).map((cell) => cell.toLowerCase())
  const [date, rupture, consult] = ['date', 'rupture', 'consult'].map((name) => headings.indexOf(name))
  if (date === undefined || rupture === undefined || date < 0 || rupture < 0) {
    return { faults: ['line 1: the columns "date" and "rupture" are missing. Write the first line as: date,rupture,consult'] }
  }
  const operations: ImportedOperation[] = []
  const faults: string[] = []
  for (const [index, row] of rows.entries()) {
    if (row.trim() === '') continue
    const cells = cellsOf(row, separator)
    const read = readRow(cells[date] ?? '', cells[rupture] ?? '', cells[consult ?? -1] ?? '')
    if ('fault' in read) faults.push(`line ${index + 2}, ${read.fault}`)
    else operations.push(read)
    if (faults.length === MOST_FAULTS) break
  }
  if (faults.length > 0) return { faults }
  if (operations.length === 0) return { faults: ['line 2: no operation follows the headings. Write one a line: 2026-03-02,no'] }
  return { operations: operations.toSorted((one, other) => (one.day < other.day ? -1 : one.day > other.day ? 1 : 0)) }
}

function readRow(day: string, rupture: string, ref: string): ImportedOperation | { readonly fault: string } {
  if (!isDay(day)) return { fault: 'column date: this is not a day. Write it as 2026-03-02' }
  const answer = ANSWERS[rupture.toLowerCase()]
  if (answer === undefined) return { fault: 'column rupture: write yes or no; leave out an operation where it is not known' }
  if (ref === '') return { day, rupture: answer }
  if (!REF.test(ref)) return { fault: 'column consult: this is not a reference. Write it as MARSH-7, or leave it empty' }
  return { day, rupture: answer, ref }
}

const isDay = (text: string): boolean =>
  /^\d{4}-\d{2}-\d{2}$/.test(text) &&
  !Number.isNaN(Date.parse(text)) &&
  new Date(Date.parse(text)).toISOString().slice(0, 10) === text

const cellsOf = (line: string, separator: string): readonly string[] =>
  line.split(separator).map((cell) =>
    cell
      .trim()
      .replace(/^"(.*)"$/, '$1')
      .trim(),
  )
