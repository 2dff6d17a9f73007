import type { Case } from '../case/case.js'
import { assemble } from './assemble.js'
import { type Columns, columnsOf, readRow } from './columns.js'
import { type Gathered, gathered } from './gathered.js'
import { asksForHelp, type GuidanceReason, guidanceFor, LONGEST_MESSAGE } from './guidance.js'
import { findIdentifiers, type Identifier } from './identifiers.js'
import { asTyped, normalise, type PlainText } from './normalise.js'
import { questionsOn } from './question.js'
import type { Fact, Fault, Problem, Reader, ReadItem } from './reading.js'
import type { Scope } from './scope.js'
import { readersFor, readStatements, type Setting } from './statements.js'
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
  const typed = (taken: readonly Token[]): string => wordsOf(taken, text, plain)
  const { read, questions } = readMessage(text, plain, context)
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

type QuestionAsked = readonly Token[]

/** The words of tokens as typed. Tokens of a sheet's row that do not touch are parted by an ellipsis. */
function wordsOf(taken: readonly Token[], text: string, plain: PlainText): string {
  const parts: string[] = []
  let start = 0
  for (let at = 1; at <= taken.length; at += 1) {
    const [before, next] = [taken[at - 1], taken[at]]
    if (before === undefined || (next !== undefined && next.start - next.gap === before.end)) continue
    parts.push(asTyped(text, plain, taken[start]?.start ?? 0, before.end))
    start = at
  }
  return parts.join(' … ')
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
  text: string,
  plain: PlainText,
  context: UnderstandContext,
): { readonly read: Gathered; readonly questions: readonly QuestionAsked[] } {
  const read = gathered()
  const setting: Setting = { today: context.today, lensLabels: context.lensLabels }
  const readers = readersFor(setting)
  const scope: Scope = { main: undefined, passing: undefined, ended: false, next: undefined, bracketed: false }
  const questions: QuestionAsked[] = []
  let columns: Columns | undefined
  let lastRow = 0
  let lastLine = 0
  for (const line of byLine(tokenise(plain.text))) {
    const [first] = line
    if (first === undefined) continue
    const kept = keptWords(line, (taken) => wordsOf(taken, text, plain))
    if (kept !== undefined) {
      read.facts.push({ what: kept, side: undefined, tokens: line })
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
        tokens: line,
      })
      for (const [index, eye] of heading.eyes.entries())
        read.mentions.push({ eye, operated: false, tokens: heading.headings[index] ?? line })
      continue
    }
    if (columns !== undefined && first.line - lastRow <= 1 && readRow(line, columns, setting, readers, read)) {
      lastRow = first.line
      continue
    }
    columns = undefined
    if (scope.passing?.until !== 'block' || first.line - lastLine > 1) scope.passing = undefined
    scope.ended = false
    scope.next = undefined
    scope.bracketed = false
    lastLine = first.line
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
      const reading = reader({
        tokens: line,
        at,
        start: 0,
        end: line.length,
        side: undefined,
        last: undefined,
        since: 0,
        ...setting,
      })
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
      const asked = line.slice(from, end)
      questions.push(asked)
      // A sentence that begins with an eye or a value may be data that only a mark at its end made a question.
      const value = marked || factAt(from) === undefined ? undefined : firstValue(factAt, from, end)
      if (value !== undefined) read.faults.push({ what: dataInQuestion(value), side: undefined, tokens: asked })
    }
    at = end
  }
  readStatements(line, at, line.length, scope, setting, readers, read)
}

const isMeasured = (one: Fact | undefined): one is Fact => typeof one?.value === 'number' || Array.isArray(one?.value)

function firstValue(factAt: (at: number) => Fact | undefined, from: number, end: number): Fact | undefined {
  for (let at = from; at < end; at += 1) {
    const one = factAt(at)
    if (isMeasured(one)) return one
  }
  return undefined
}

const dataInQuestion = (one: Fact): Fault => ({
  kind: 'not-understood',
  field: one.field,
  blocks: false,
  message: `the question holds what looks like a value (${one.label} ${one.shown}). All of it was kept as the question and nothing in it was read.`,
  instead: 'the value on a line of its own, without a question mark',
})

/** A line that a case was written out with, or that the asker wants kept as it stands. */
function keptWords(line: readonly Token[], typed: (tokens: readonly Token[]) => string): Fact | undefined {
  const [one, two, three] = line
  if (one?.lower !== 'kept' || two?.lower !== 'words' || three?.text !== ':' || line.length < 4) return undefined
  return { field: 'note', label: 'kept as written', value: typed(line.slice(3)), shown: 'kept as written' }
}

function joinQuestions(
  asked: readonly QuestionAsked[],
  text: string,
  plain: PlainText,
): { readonly question: Case['question']; readonly fault?: Gathered['faults'][number] } {
  const [first] = asked
  if (first === undefined) return { question: undefined }
  const parts = asked.map((tokens) => wordsOf(tokens, text, plain))
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
    return { question: undefined, fault: { what, side: undefined, tokens: first } }
  }
  return { question: { value, source: parts.join('\n'), line: first[0]?.line ?? 1 } }
}

/** The question without the sign or word that announced it, and without the quotes around it. */
function withoutMark(part: string): string {
  const bare = part.replace(/^(?:\?+|q(?:uestions?|uery|n)?\s*:|ask\s*:)\s*/i, '').trim()
  return /^["“].*["”]$/.test(bare) ? bare.slice(1, -1).trim() : bare
}
