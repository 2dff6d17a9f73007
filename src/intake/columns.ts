import type { Eye } from '../terms/eye.js'
import type { Gathered } from './gathered.js'
import { unknownMark } from './marks.js'
import { matchAt } from './phrases.js'
import { EYE_FORMS } from './read-eye.js'
import type { Reader } from './reading.js'
import { readStatements, type Setting } from './statements.js'
import type { Token } from './tokens.js'

/** Which eye each of the two columns holds. */
export interface Columns {
  readonly eyes: readonly [Eye, Eye]
  readonly headings: readonly [readonly Token[], readonly Token[]]
}

const SINGLE: Readonly<Record<string, Eye>> = { R: 'right', L: 'left' }

/** A heading line such as "   OD   OS": two different eyes and nothing that could be a value. */
export function columnsOf(line: readonly Token[]): Columns | undefined {
  const eyes: { readonly eye: Eye; readonly token: Token }[] = []
  let at = 0
  while (at < line.length) {
    const token = line[at] as Token
    const match = matchAt(EYE_FORMS, line, at)
    const single = token.kind === 'word' ? SINGLE[token.text] : undefined
    if (token.kind === 'number' || token.kind === 'date' || token.text === ',' || token.text === ';') return undefined
    if (match !== undefined) eyes.push({ eye: match.value, token })
    else if (single !== undefined) eyes.push({ eye: single, token })
    // A word between the columns makes it a sentence; one before them is the heading of the names.
    else if (eyes.length > 0 && token.lower !== 'eye') return undefined
    else if (at > 2) return undefined
    at += match?.used ?? 1
  }
  const [first, second] = eyes
  if (first === undefined || second === undefined || eyes.length !== 2 || first.eye === second.eye) return undefined
  return { eyes: [first.eye, second.eye], headings: [[first.token], [second.token]] }
}

interface Row {
  readonly name: readonly Token[]
  readonly cells: readonly [readonly Token[], readonly Token[]]
}

const startsValue = (line: readonly Token[], at: number): boolean => {
  const token = line[at]
  if (token === undefined) return false
  if (token.kind === 'number') return token.gap > 0
  return (
    token.gap > 0 &&
    unknownMark(
      { tokens: line, at, start: 0, end: line.length, side: undefined, last: undefined, since: 0, today: '', lensLabels: [] },
      0,
    ) > 0
  )
}

/** A row: a name and one cell for each column, parted by wide gaps, tabs or bars, or by where two values begin. */
function rowOf(line: readonly Token[]): Row | undefined {
  const starts = line.flatMap((token, index) => (index === 0 || token.newCell || token.gap >= 2 ? [index] : []))
  if (starts.length === 3) return cut(line, starts[1] ?? 0, starts[2] ?? 0)
  const values = line.flatMap((_, index) => (index > 0 && startsValue(line, index) ? [index] : []))
  return values.length === 2 ? cut(line, values[0] ?? 0, values[1] ?? 0) : undefined
}

/** "AL: 29.56 mm (SNR 512)   AL: 26.11 mm (SNR 498)": the name of the line stands again before the second eye's value. */
function namedTwice(line: readonly Token[]): Row | undefined {
  const [first, second] = line
  if (first?.kind !== 'word') return undefined
  // "K1" is a letter and a figure that touch.
  const figure = second?.kind === 'number' && second.gap === 0 ? second.text : undefined
  const again = line.flatMap((token, index) =>
    index > 1 && token.gap > 0 && token.lower === first.lower && (figure === undefined || line[index + 1]?.text === figure)
      ? [index]
      : [],
  )
  const [at] = again
  if (at === undefined || again.length !== 1) return undefined
  return { name: [], cells: [line.slice(0, at), line.slice(at)] }
}

const cut = (line: readonly Token[], first: number, second: number): Row => ({
  name: line.slice(0, first),
  cells: [line.slice(first, second), line.slice(second)],
})

/** Reads one line of a two-column sheet, or answers false where the line is not a row of it. */
export function readRow(
  line: readonly Token[],
  columns: Columns,
  setting: Setting,
  readers: readonly Reader[],
  out: Gathered,
): boolean {
  const row = namedTwice(line) ?? rowOf(line)
  if (row === undefined) return false
  for (const index of [0, 1] as const) {
    const tokens = [...row.name, ...row.cells[index]]
    readStatements(
      tokens,
      0,
      tokens.length,
      { main: columns.eyes[index], passing: undefined, ended: false, next: undefined, bracketed: false },
      setting,
      readers,
      out,
    )
  }
  return true
}
