import type { Case } from '../case/case.js'
import { assemble } from './assemble.js'
import { type Columns, columnsOf, readRow } from './columns.js'
import { asksForHelp, type GuidanceReason, guidanceFor, LONGEST_MESSAGE } from './guidance.js'
import { findIdentifiers, type Identifier } from './identifiers.js'
import { asTyped, normalise, type PlainText } from './normalise.js'
import { questionsOn } from './question.js'
import type { Fact, Fault, Problem, Reader, ReadItem } from './reading.js'
import { type Gathered, gathered, readersFor, readStatements, type Scope, type Setting } from './statements.js'
import { type Token, tokenise } from './tokens.js'

export type { Problem, ReadItem } from './reading.js'

export type Understood =
  | { readonly kind: 'case'; readonly case: Case; readonly items: readonly ReadItem[]; readonly problems: readonly Problem[] }
  /** What identifies a patient was found: nothing else is returned, and nothing of the text. */
  | { readonly kind: 'identifiers'; readonly found: readonly Identifier[] }
  | { readonly kind: 'guidance'; readonly reason: GuidanceReason; readonly message: string }

export interface UnderstandContext {
  /** ISO date; dates without a year and "tomorrow" are read from it. */
  readonly today: string
  readonly lensLabels: readonly string[]
  readonly hasPicture?: boolean
}

const LONGEST_QUESTION = 2000
const guidance = (reason: GuidanceReason): Understood => ({ kind: 'guidance', reason, message: guidanceFor(reason) })

/**
 * A case message read into a case: every item as read with its source, every problem with its line, nothing dropped.
 * Identifiers are looked for first; where one is found, nothing else is returned. Never throws.
 * @param text the message as typed or pasted
 */
export function understand(text: string, context: UnderstandContext): Understood {
  const found = findIdentifiers(text, context.today)
  if (found.length > 0) return { kind: 'identifiers', found }
  if (text.length > LONGEST_MESSAGE) return guidance('too-long')
  const plain = normalise(text)
  if (plain.text.trim() === '') return guidance(context.hasPicture === true ? 'picture' : 'empty')
  if (asksForHelp(plain.text)) return guidance('help')
  const tokens = tokenise(plain.text)
  const typed = (from: Token, to: Token): string => asTyped(text, plain, from.start, to.end)
  const { read, questions } = readMessage(tokens, context)
  const { question, fault } = joinQuestions(questions, text, plain)
  if (fault !== undefined) read.faults.push(fault)
  if (read.facts.length === 0 && read.mentions.length === 0 && question === undefined && read.faults.length === 0) {
    return guidance(context.hasPicture === true ? 'picture' : 'nothing-read')
  }
  const assembled = assemble(read, typed, question)
  const asked: readonly ReadItem[] =
    question === undefined
      ? []
      : [{ field: 'question', label: 'question', shown: question.value, source: question.source, line: question.line }]
  return { kind: 'case', case: assembled.case, items: [...assembled.items, ...asked], problems: assembled.problems }
}

interface QuestionAsked {
  readonly from: Token
  readonly to: Token
}

function byLine(tokens: readonly Token[]): readonly (readonly Token[])[] {
  const lines: Token[][] = []
  for (const token of tokens) {
    const current = lines.at(-1)
    if (current?.[0]?.line === token.line) current.push(token)
    else lines.push([token])
  }
  return lines
}

function readMessage(
  tokens: readonly Token[],
  context: UnderstandContext,
): { readonly read: Gathered; readonly questions: readonly QuestionAsked[] } {
  const read = gathered()
  const setting: Setting = { today: context.today, lensLabels: context.lensLabels }
  const readers = readersFor(setting)
  const scope: Scope = { main: undefined, passing: undefined }
  const questions: QuestionAsked[] = []
  let columns: Columns | undefined
  let lastRow = 0
  for (const line of byLine(tokens)) {
    const [first] = line
    if (first === undefined) continue
    const kept = keptWords(line)
    if (kept !== undefined) {
      read.facts.push({ what: kept, side: undefined, from: first, to: line.at(-1) ?? first })
      continue
    }
    const heading = columnsOf(line)
    if (heading !== undefined) {
      columns = heading
      lastRow = first.line
      read.facts.push({
        what: {
          field: 'eye',
          label: 'columns of the sheet',
          value: undefined,
          shown: heading.eyes.map((eye) => `${eye} eye`).join(', then '),
        },
        side: undefined,
        from: first,
        to: line.at(-1) ?? first,
      })
      for (const [index, eye] of heading.eyes.entries())
        read.mentions.push({ eye, operated: false, token: heading.headings[index] ?? first })
      continue
    }
    if (columns !== undefined && first.line - lastRow <= 1 && readRow(line, columns, setting, readers, read)) {
      lastRow = first.line
      continue
    }
    columns = undefined
    scope.passing = scope.passing?.until === 'stop' && line.length === 1 ? scope.passing : undefined
    readLine(line, { scope, setting, readers, read, questions })
  }
  return { read, questions }
}

interface LineWork {
  readonly scope: Scope
  readonly setting: Setting
  readonly readers: readonly Reader[]
  readonly read: Gathered
  readonly questions: QuestionAsked[]
}

function readLine(line: readonly Token[], { scope, setting, readers, read, questions }: LineWork): void {
  const factAt = (at: number): Fact | undefined => {
    for (const reader of readers) {
      const reading = reader({ tokens: line, at, start: 0, end: line.length, side: undefined, last: undefined, ...setting })
      if (reading !== undefined)
        return reading.facts?.[0] ?? { field: reading.faults?.[0]?.field ?? 'eye', label: '', value: undefined, shown: '' }
    }
    return undefined
  }
  let at = 0
  for (const { from, end, marked } of questionsOn(line, (token) => factAt(token) !== undefined)) {
    readStatements(line, at, from, scope, setting, readers, read)
    const [start, last] = [line[from], line[end - 1]]
    if (start !== undefined && last !== undefined) {
      questions.push({ from: start, to: last })
      const looksLikeData = marked ? undefined : factAt(from)
      if (typeof looksLikeData?.value === 'number' || Array.isArray(looksLikeData?.value))
        read.faults.push({ what: dataInQuestion(looksLikeData), side: undefined, from: start, to: last })
    }
    at = end
  }
  readStatements(line, at, line.length, scope, setting, readers, read)
}

const dataInQuestion = (one: Fact): Fault => ({
  kind: 'not-understood',
  field: one.field,
  blocks: false,
  message: `the question begins with what looks like a value (${one.label} ${one.shown}). It was kept as the question and not read as a value.`,
  instead: 'the value on a line of its own, without a question mark',
})

/** A line that a case was written out with, or that the asker wants kept as it stands. */
function keptWords(line: readonly Token[]): Fact | undefined {
  const [one, two, three] = line
  if (one?.lower !== 'kept' || two?.lower !== 'words' || three?.text !== ':' || line.length < 4) return undefined
  return { field: 'note', label: 'kept as written', value: 'kept', shown: 'kept as written' }
}

function joinQuestions(
  asked: readonly QuestionAsked[],
  text: string,
  plain: PlainText,
): { readonly question: Case['question']; readonly fault?: Gathered['faults'][number] } {
  const [first] = asked
  const last = asked.at(-1)
  if (first === undefined || last === undefined) return { question: undefined }
  const parts = asked.map(({ from, to }) => asTyped(text, plain, from.start, to.end))
  const value = parts
    .map(withoutMark)
    .filter((part) => part !== '')
    .join('\n')
  if (value === '') return { question: undefined }
  if (value.length > LONGEST_QUESTION) {
    const what: Fault = {
      kind: 'too-long',
      field: 'question',
      blocks: true,
      message: `the question has ${value.length} characters; ${LONGEST_QUESTION} can be kept. It is not cut.`,
      instead: 'a shorter question; details can follow in the thread',
    }
    return { question: undefined, fault: { what, side: undefined, from: first.from, to: last.to } }
  }
  return { question: { value, source: parts.join('\n'), line: first.from.line } }
}

/** The question without the sign or word that announced it, and without the quotes around it. */
function withoutMark(part: string): string {
  const bare = part.replace(/^(?:\?+|q(?:uestions?|uery|n)?\s*:|ask\s*:)\s*/i, '').trim()
  return /^["“].*["”]$/.test(bare) ? bare.slice(1, -1).trim() : bare
}
