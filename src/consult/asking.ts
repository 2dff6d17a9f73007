import type { Asking, Urgency } from './events.js'
import { namesListed } from './people.js'

export const URGENCY_WORDS: Readonly<Record<Urgency, string>> = {
  routine: 'Routine',
  'this-week': 'This week',
  today: 'Today',
}

/** By when an answer is hoped for when the asker names no time, hours. */
export type AnswerHours = Readonly<Record<Urgency, number>>

/** Where the department sets none: a convention (common practice, no source). */
export const ANSWER_WITHIN_HOURS: AnswerHours = { routine: 72, 'this-week': 24, today: 2 }
const HOUR_MS = 60 * 60 * 1000

/** The asking with what follows from it: how urgent, and by when an answer is wanted; never after the day of surgery begins. */
export function settledAsking(
  asking: Asking,
  at: string,
  surgeryDate: string | undefined,
  answerWithinHours: AnswerHours = ANSWER_WITHIN_HOURS,
): Asking {
  const urgency = asking.urgency ?? 'routine'
  const day = asking.surgeryDate ?? surgeryDate
  const within = Date.parse(at) + answerWithinHours[urgency] * HOUR_MS
  const surgery = day === undefined ? Number.POSITIVE_INFINITY : Date.parse(`${day}T00:00:00Z`)
  const capped = surgery > Date.parse(at) ? Math.min(within, surgery) : within
  return {
    ...asking,
    urgency,
    ...(day === undefined ? {} : { surgeryDate: day }),
    answerBy: asking.answerBy ?? new Date(capped).toISOString(),
  }
}

/** What may stand after `post`; `channel`: another one to post in, as it was written. */
export type TypedAsking = { readonly asking: Asking; readonly channel?: string } | { readonly problems: readonly string[] }

/** Reads a day as it was written, or says why it is none that can stand here. */
export type ReadDay = (said: string) => { readonly day: string } | { readonly problem: string }

const isoDay: ReadDay = (said) =>
  isIsoDay(said) ? { day: said } : { problem: `“${said}” is not a day. Write it like: surgery 2026-03-09` }

const HOW =
  'Write: post: ask NAME, NAME; today; surgery 2026-03-09; hide until 3; deputy NAME. Each part may be left out, and each stands after a semicolon'

const URGENCY: Readonly<Record<string, Urgency>> = {
  routine: 'routine',
  'this week': 'this-week',
  today: 'today',
  urgent: 'today',
  'answer today': 'today',
  'answer this week': 'this-week',
}

/** `ask Alder, retina team; today; surgery 2026-03-09; hide until 3; deputy Sorrel; in #theatre`. */
export function typedAsking(text: string, readDay: ReadDay = isoDay): TypedAsking {
  const problems: string[] = []
  let asking: Asking = {}
  let channel: string | undefined
  for (const part of text.split(/\s*[;\n]\s*/u)) {
    const said = part.trim().replace(/[.!]+$/u, '')
    const rest = (opens: RegExp): string | undefined => (opens.test(said) ? said.replace(opens, '').trim() : undefined)
    const people = rest(/^asks?\b\s*:?\s*/iu) ?? rest(/^(?:to\s+)?(?=@)/iu)
    const deputy = rest(/^deputy\b\s*:?\s*/iu)
    const day = rest(/^surgery\b\s*(?::\s*|on\s+)?/iu)
    const hide = rest(/^hide\b\s*(?:until\s+|:\s*)?/iu)
    const place = rest(/^(?:in\s+|to\s+|channel\s*:?\s*)(?=#)/iu)
    const urgency = URGENCY[said.toLowerCase().replace(/[-\s]+/gu, ' ')]
    if (said === '') continue
    if (people === '') problems.push('After “ask” stands who is asked, such as: post: ask NAME, NAME')
    else if (people !== undefined) asking = { ...asking, asked: [...(asking.asked ?? []), ...namesListed(people)] }
    else if (deputy !== undefined) {
      const names = namesListed(deputy)
      if (names.length === 1) asking = { ...asking, deputy: names[0] ?? '' }
      else
        problems.push(
          `One person or group stands in if nobody answers, ${names.length === 0 ? 'and none is named' : `and “${deputy}” names ${names.length}`}. Write: deputy NAME`,
        )
    } else if (urgency !== undefined) asking = { ...asking, urgency }
    else if (day !== undefined) {
      const read = readDay(day)
      if ('problem' in read) problems.push(read.problem)
      else asking = { ...asking, surgeryDate: read.day }
    } else if (hide !== undefined && /^[2-9](?:\s+(?:have\s+)?answer(?:s|ed)?)?$/iu.test(hide))
      asking = { ...asking, hideUntil: Number(hide.charAt(0)) }
    else if (hide !== undefined && /^(?:i lift(?: them)?|asker lifts|)$/iu.test(hide))
      asking = { ...asking, hideUntil: 'asker-lifts' }
    else if (hide !== undefined)
      problems.push(
        `“hide ${hide}” is not understood. Opinions are hidden until 2 to 9 have answered, or until you lift them. Write: hide until 3, or: hide until I lift`,
      )
    else if (place !== undefined) channel = place.replace(/^#/u, '')
    else problems.push(`“${said}” is not understood. ${HOW}`)
  }
  return problems.length > 0 ? { problems } : { asking, ...(channel === undefined ? {} : { channel }) }
}

export const isIsoDay = (text: string): boolean => {
  if (!/^\d{4}-\d{2}-\d{2}$/u.test(text)) return false
  const ms = Date.parse(`${text}T00:00:00Z`)
  return Number.isFinite(ms) && new Date(ms).toISOString().startsWith(text)
}
