import { FINDING_NAMES } from './finding-tables.js'
import { isConnecting } from './ignorable.js'
import { matchAt, type Phrases } from './phrases.js'
import { ACUITY_NAMES } from './read-acuity.js'
import { KERATOMETRY_FORMS } from './read-keratometry.js'
import { QUANTITY_FORMS } from './read-measurement.js'
import { REFRACTION_FORMS } from './read-refraction.js'
import type { Token } from './tokens.js'

/** A question on a line: tokens from and up to (exclusive). `marked` says that a sign or a word announced it. */
export interface QuestionFound {
  readonly from: number
  readonly end: number
  readonly marked: boolean
}

const NAMES: readonly Phrases<unknown>[] = [QUANTITY_FORMS, KERATOMETRY_FORMS, REFRACTION_FORMS, ACUITY_NAMES, FINDING_NAMES]
const nameLength = (line: readonly Token[], at: number): number =>
  NAMES.map((table) => matchAt(table, line, at)?.used ?? 0).reduce((one, other) => Math.max(one, other), 0)
const isMark = (token: Token | undefined): boolean => token?.kind === 'symbol' && /^\?+$/.test(token.text)
const isStop = (token: Token | undefined): boolean =>
  token === undefined || token.text === ';' || token.text === '.' || token.text === '!'
const isBreak = (token: Token | undefined): boolean => isStop(token) || token?.text === ','
const ANNOUNCED = new Set(['q', 'question', 'questions', 'query', 'qn', 'ask'])
const JOINING = new Set(['or', 'and', 'but', 'if', 'then', 'because', 'so', 'given', 'vs', 'versus', 'which', 'nor'])

/** "ECD ?" and "?PXF" are marks on a fact, not questions. */
function marksAFact(line: readonly Token[], at: number, segment: number): boolean {
  const next = nameLength(line, at + 1)
  if (segment === at && next > 0 && line[at + 1]?.gap === 0 && isBreak(line[at + 1 + next])) return true
  if (segment === at || nameLength(line, segment) === 0) return false
  for (let back = 1; back <= 5 && at - back >= segment; back += 1) if (nameLength(line, at - back) === back) return true
  return line[at - 1]?.text === ':' || line[at - 1]?.text === '='
}

const ASKING = new Set('who which what when where why how should would could can shall is are do does ok whether any'.split(' '))

/** "registrar ? hand over", "clear view ? who operates": data before a mark that stands apart, and the question after it. */
function partsDataFromQuestion(line: readonly Token[], at: number, segment: number, isRead: (at: number) => boolean): boolean {
  const [mark, next] = [line[at], line[at + 1]]
  if (segment >= at || (mark?.gap ?? 0) === 0 || next?.kind !== 'word' || next.gap === 0) return false
  if (!isRead(segment) || ASKING.has(line[segment]?.lower ?? '') || nameLength(line, at + 1) > 0) return false
  // After the name of a finding the mark may doubt it: then only a word that asks opens a question.
  const doubted = Array.from({ length: 5 }, (_, back) => at - back - 1).some(
    (from) => from >= segment && nameLength(line, from) === at - from,
  )
  return !doubted || ASKING.has(next.lower)
}

/** Where a sentence that ends at this mark begins: after the last stop, and after the last comma whose other side is data. */
function sentenceStart(line: readonly Token[], mark: number, floor: number, isRead: (at: number) => boolean): number {
  let start = mark
  while (start > floor && !isStop(line[start - 1]) && !isMark(line[start - 1])) start -= 1
  for (let at = start; at < mark; at += 1) if (line[at]?.text === '"') return at
  const commas = Array.from({ length: mark - start }, (_, index) => start + index).filter((at) => line[at]?.text === ',')
  let from = mark
  for (const comma of [...commas.reverse(), start - 1]) {
    const partStart = comma + 1
    let first = partStart
    while (
      first < mark &&
      isConnecting(line[first]?.kind ?? '', line[first]?.lower ?? '') &&
      !JOINING.has(line[first]?.lower ?? '')
    )
      first += 1
    const joined = JOINING.has(line[from < mark ? from : -1]?.lower ?? '')
    if (from < mark && !joined && isRead(first)) return from
    from = partStart
  }
  return from
}

/** "?right. AL 29.9": where a value begins the sentence after the question, the question ends before it. */
function dataAfterStop(line: readonly Token[], from: number, isRead: (at: number) => boolean): number {
  for (let at = from; at < line.length - 2; at += 1) {
    if ((line[at]?.text === '.' || line[at]?.text === ';') && isRead(at + 1) && nameLength(line, at + 1) > 0) return at + 1
  }
  return line.length
}

/**
 * The questions of one line: from "?" or "Q:" at the start of a statement to the end of the line, or a sentence that ends in "?".
 * @param isRead whether some reader takes what stands at a token
 */
export function questionsOn(line: readonly Token[], isRead: (at: number) => boolean): readonly QuestionFound[] {
  const found: QuestionFound[] = []
  let floor = 0
  let segment = 0
  for (let at = 0; at < line.length; at += 1) {
    const token = line[at]
    if (segment === at && token?.kind === 'word' && ANNOUNCED.has(token.lower) && line[at + 1]?.text === ':') {
      return [...found, { from: at, end: line.length, marked: true }]
    }
    if (isMark(token)) {
      // "AL 31.2 ?chop": a mark that touches what follows and not what stands before it begins something of its own.
      const leads = segment < at && (token?.gap ?? 0) > 0 && line[at + 1]?.kind === 'word' && line[at + 1]?.gap === 0
      if (leads && nameLength(line, at + 1) > 0) continue
      if (leads) return [...found, { from: at, end: line.length, marked: true }]
      if (partsDataFromQuestion(line, at, segment, isRead)) return [...found, { from: at, end: line.length, marked: true }]
      if (marksAFact(line, at, segment)) continue
      if (segment === at && at + 1 < line.length && !isBreak(line[at + 1])) {
        const end = dataAfterStop(line, at + 1, isRead)
        found.push({ from: at, end, marked: true })
        if (end === line.length) return found
        at = end - 1
        floor = end
        segment = end
        continue
      }
      if (segment < at) {
        const closing = line[at + 1]?.text === '"' ? 1 : 0
        found.push({ from: sentenceStart(line, at, floor, isRead), end: at + 1 + closing, marked: false })
        floor = at + 1 + closing
        segment = floor
      }
      continue
    }
    if (isBreak(token)) segment = at + 1
    else if (segment === at && token?.kind === 'symbol' && ['-', '*', '•', '"', '(', '·'].includes(token.text)) segment = at + 1
  }
  return found
}
