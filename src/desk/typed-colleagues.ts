import { namesListed } from '../consult/people.js'
import { daysBetween } from '../intake/calendar.js'
import { isColleagueName } from '../intake/colleague-names.js'
import { commandIn, refAt } from './command.js'
import { dayNamed } from './days.js'
import { type Span, typedTask } from './typed-task.js'

/** A typed text for the identifier guard: what is left to be read freely, and what stands in the place of colleagues. */
export interface GuardedText {
  /** The text with colleagues and days blanked out, every character left where it stood. */
  readonly free: string
  readonly colleagues: readonly string[]
}

const NEAR_DAYS = 2 * 365

/**
 * Takes out of a text what its own grammar says is a colleague or a day of the work, so that the guard reads only the rest:
 * who is asked, who stands in, who takes a task and until when, whose consult it becomes, who operates and whose opinion is
 * followed. What stands there and reads as more than a name, or as a day years away, is left to the guard.
 * @param mentioned names that the chat itself marks as mentions of people, as they stand after the "@"
 * @param today ISO date
 */
export function withoutColleagues(text: string, mentioned: readonly string[], today: string): GuardedText {
  const ahead = text.length - text.trimStart().length
  const ref = refAt(text)
  const said = ref === undefined || ref.rest === '' ? text.trim() : ref.rest
  const start = ref === undefined || ref.rest === '' ? ahead : text.lastIndexOf(ref.rest)
  const { names, days } = spansOf(said, today)
  const shifted = ([from, end]: Span): Span => [from + start, end + start]
  // What the chat itself writes for a mention was typed by nobody, so nothing of it is judged.
  const marked = mentionSpans(text, mentioned)
  const unmarked = blanked(text, marked)
  const people = names.map(shifted).filter((span) => readsAsColleagues(unmarked.slice(...span)))
  const near = days.map(shifted).filter((span) => isNear(text.slice(...span), today))
  return { free: blanked(unmarked, [...people, ...near]), colleagues: people.map((span) => unmarked.slice(...span)) }
}

interface Spans {
  readonly names: readonly Span[]
  readonly days: readonly Span[]
}
const NONE: Spans = { names: [], days: [] }

function spansOf(said: string, today: string): Spans {
  const head = /^(?<word>post|give|task|decide[ds]?|outcome|find)\b\s*[:,]?\s*/iu.exec(said)
  if (head === null) return NONE
  const from = head[0].length
  switch (head.groups?.['word']?.toLowerCase()) {
    case 'post':
      return isPost(said) ? inParts(said, from, POST_NAMES, POST_DAYS) : NONE
    case 'give': {
      const to = /^(?:(?:it|this)\s+)?(?:to\s+)?@?/iu.exec(said.slice(from))?.[0] ?? ''
      const marked = /^give\s*:/iu.test(said) || to.endsWith('@')
      return marked ? { names: [[from + to.length, endOf(said)]], days: [] } : NONE
    }
    case 'task': {
      const { owners, day } = typedTask(said.slice(from), today).spans
      const moved = ([one, end]: Span): Span => [one + from, end + from]
      return { names: owners.map(moved), days: day === undefined ? [] : [moved(day)] }
    }
    case 'find':
      return {
        names: [...said.matchAll(/\bby:"(?<name>[^"\n]+)"/giu)].map(({ index, 0: all }) => [index + 4, index + all.length - 1]),
        days: [],
      }
    case 'outcome':
      return /^outcome\s*:/iu.test(said) ? inParts(said, from, NO_NAMES, OUTCOME_DAYS) : NONE
    default:
      return /^decide[ds]?\s*:/iu.test(said) ? inParts(said, from, DECISION_NAMES, NO_NAMES) : NONE
  }
}

const isPost = (said: string): boolean => commandIn(said)?.command === 'post'

/** A part of a command up to the name or the day in it. */
const POST_NAMES = /^\s*(?:asks?|deputy)\s*(?::\s*|\s+)|^\s*(?:to\s+)?(?=@)/iu
const POST_DAYS = /^\s*surgery\s*(?:on\s+|:\s*|\s+)/iu
const DECISION_NAMES = /^\s*(?:operates|surgeon|follows|not|departs from)\s*(?::\s*|\s+)/iu
const OUTCOME_DAYS = /^(?:[^;\n]*?\s)?on\s+(?=\d)/iu
const NO_NAMES = /(?!)/u

function inParts(said: string, from: number, names: RegExp, days: RegExp): Spans {
  const found: { names: Span[]; days: Span[] } = { names: [], days: [] }
  let at = from
  for (const part of said.slice(from).split(/(?<=[;\n])/u)) {
    const end = at + part.replace(/[;\s.]+$/u, '').length
    const name = names.exec(part)?.[0]
    const day = days.exec(part)?.[0]
    // "not Odile Finch because …": the reason is read like any other text.
    const because = /\s+because\b/iu.exec(part)
    if (name !== undefined) found.names.push([at + name.length, because === null ? end : at + because.index])
    if (day !== undefined) found.days.push([at + day.length, end])
    at += part.length
  }
  return found
}

const endOf = (said: string): number => said.replace(/[\s.!]+$/u, '').length

const readsAsColleagues = (text: string): boolean => {
  const names = namesListed(text)
  return names.length > 0 && names.every(isColleagueName)
}

function isNear(said: string, today: string): boolean {
  const day = dayNamed(said, today)
  return day !== undefined && Math.abs(daysBetween(today, day)) <= NEAR_DAYS
}

function mentionSpans(text: string, mentioned: readonly string[]): readonly Span[] {
  return mentioned.flatMap((name) => {
    const spans: Span[] = []
    for (let at = text.indexOf(`@${name}`); at >= 0; at = text.indexOf(`@${name}`, at + 1)) {
      const end = at + 1 + name.length
      if (!/[\p{L}\p{N}]/u.test(text.charAt(end))) spans.push([at + 1, end])
    }
    return spans
  })
}

/** Each character of these places as a blank; line breaks stay, so that lines and columns are as they were typed. */
const blanked = (text: string, spans: readonly Span[]): string =>
  spans.reduce(
    (whole, [from, end]) => `${whole.slice(0, from)}${whole.slice(from, end).replace(/[^\n]/gu, ' ')}${whole.slice(end)}`,
    text,
  )
