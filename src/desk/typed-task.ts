import { namesListed } from '../consult/people.js'
import { dayNamed, meansADay } from './days.js'

/** From and up to (exclusive), in characters of the text. */
export type Span = readonly [from: number, end: number]

export interface TypedTask {
  readonly what: string
  /** Everybody who was named; a task has one of them. */
  readonly owners: readonly string[]
  /** The day as it was written. */
  readonly due?: string
  /** Where the owner and the day stand in the text. */
  readonly spans: { readonly owners: readonly Span[]; readonly day?: Span }
}

/** What opens a day: a word of its own, before the next "@" or the end. */
const OPENS_DAY = /(?:^|\s)(?:by|until|till|before|due(?:\s+(?:on|by))?)\s*:?\s+/giu
/** The longest day as people say it: "on Friday 5 December 2026". */
const LONGEST_DAY = 5

/** `second biometry @Alder by Friday`: what, who takes it, until when; owner and day in either order. */
export function typedTask(text: string, today: string): TypedTask {
  const marks = [...text.matchAll(/(?<=^|\s|[,&])@(?=\p{L})/gu)].map(({ index }) => index)
  const day = dayIn(text, marks, today)
  const owners = marks.map((mark, at): Span => {
    const end = Math.min(marks[at + 1] ?? text.length, day !== undefined && day.from > mark ? day.from : text.length)
    return [mark + 1, end]
  })
  // "@Odile Finch Friday": the day may follow the name without a word between them.
  const last = owners.at(-1)
  const trailing = day === undefined && last !== undefined ? trailingDay(text, last, today) : undefined
  if (trailing !== undefined && last !== undefined) owners[owners.length - 1] = [last[0], trailing[0]]
  const dayText = day?.span ?? trailing
  const cut = [
    ...owners.map(([from, end]): Span => [from - 1, end]),
    ...(day === undefined ? [] : [[day.from, day.span[1]] as const]),
  ]
  return {
    what: without(text, trailing === undefined ? cut : [...cut, trailing]),
    owners: owners.flatMap(([from, end]) =>
      namesListed(
        text
          .slice(from, end)
          .replace(/[\s,;.&]+$/u, '')
          .replace(/\s(?:and|plus)$/iu, ''),
      ),
    ),
    ...(dayText === undefined ? {} : { due: text.slice(...dayText).trim() }),
    spans: { owners, ...(dayText === undefined ? {} : { day: dayText }) },
  }
}

/** The last words that are opened as a day; "by the retina team" is none and stays in the words of the task. */
function dayIn(
  text: string,
  marks: readonly number[],
  today: string,
): { readonly from: number; readonly span: Span } | undefined {
  const openings = [...text.matchAll(OPENS_DAY)].reverse()
  for (const { index, 0: words } of openings) {
    const from = index + words.length
    const end = marks.find((mark) => mark >= from) ?? text.length
    const said = text.slice(from, end).replace(/[\s,;]+$/u, '')
    // "before the list on Friday" tells when, and is no day by itself; "by next week" was meant as one.
    const meant = /by|due/iu.test(words) && meansADay(said) && said.split(/\s+/u).length <= LONGEST_DAY
    if (dayNamed(said, today) !== undefined || meant) return { from: index, span: [from, from + said.length] }
  }
  return undefined
}

function trailingDay(text: string, [from, end]: Span, today: string): Span | undefined {
  const words = [...text.slice(from, end).matchAll(/\S+/gu)]
  for (let count = Math.min(LONGEST_DAY, words.length - 1); count > 0; count -= 1) {
    const start = from + (words[words.length - count]?.index ?? 0)
    if (dayNamed(text.slice(start, end), today) !== undefined) return [start, end]
  }
  return undefined
}

function without(text: string, spans: readonly Span[]): string {
  let left = ''
  let at = 0
  for (const [from, end] of spans.toSorted(([one], [other]) => one - other)) {
    left += text.slice(at, Math.max(at, from))
    at = Math.max(at, end)
  }
  return `${left}${text.slice(at)}`.replace(/\s+/gu, ' ').trim().replace(/[,;]$/u, '').trim()
}
