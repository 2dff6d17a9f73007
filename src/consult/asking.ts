import type { Asking, Urgency } from './events.js'

export const URGENCY_WORDS: Readonly<Record<Urgency, string>> = {
  routine: 'Routine',
  'this-week': 'This week',
  today: 'Today',
}

/** By when an answer is hoped for when the asker names no time, hours (common practice, no source). */
const ANSWER_WITHIN_HOURS: Readonly<Record<Urgency, number>> = { routine: 72, 'this-week': 24, today: 2 }
const HOUR_MS = 60 * 60 * 1000

/** The asking with what follows from it: how urgent, and by when an answer is wanted; never after the day of surgery begins. */
export function settledAsking(asking: Asking, at: string, surgeryDate: string | undefined): Asking {
  const urgency = asking.urgency ?? 'routine'
  const day = asking.surgeryDate ?? surgeryDate
  const within = Date.parse(at) + ANSWER_WITHIN_HOURS[urgency] * HOUR_MS
  const surgery = day === undefined ? Number.POSITIVE_INFINITY : Date.parse(`${day}T00:00:00Z`)
  const capped = surgery > Date.parse(at) ? Math.min(within, surgery) : within
  return {
    ...asking,
    urgency,
    ...(day === undefined ? {} : { surgeryDate: day }),
    answerBy: asking.answerBy ?? new Date(capped).toISOString(),
  }
}

export type TypedAsking = { readonly asking: Asking } | { readonly problems: readonly string[] }

const named = (text: string): readonly string[] =>
  text
    .split(/\s*,\s*|\s+and\s+/iu)
    .map((name) => name.replace(/^@/, '').trim())
    .filter((name) => name !== '')

/**
 * What may stand after `post`: `ask Alder, retina team; today; surgery 2026-03-09; hide until 3; deputy Sorrel`.
 * A day is an ISO date here: whoever reads it any other way has been understood before.
 */
export function typedAsking(text: string): TypedAsking {
  const problems: string[] = []
  let asking: Asking = {}
  for (const part of text.split(/\s*[;\n]\s*/u)) {
    const said = part.trim()
    const rest = (opens: RegExp): string | undefined => (opens.test(said) ? said.replace(opens, '').trim() : undefined)
    const people = rest(/^asks?\s*(?::\s*|\s+)/iu)
    const deputy = rest(/^deputy\s*(?::\s*|\s+)/iu)
    const surgery = rest(/^surgery\s*(?:on\s+|:\s*|\s+)/iu)
    const hide = rest(/^hide\s*(?:until\s+|:\s*|\s+)?/iu)
    const urgency = (['routine', 'this-week', 'today'] as const).find(
      (one) => one.replace('-', ' ') === said.toLowerCase().replace('-', ' '),
    )
    if (said === '') continue
    if (people !== undefined) asking = { ...asking, asked: named(people) }
    else if (deputy !== undefined) asking = { ...asking, deputy: deputy.replace(/^@/, '') }
    else if (urgency !== undefined) asking = { ...asking, urgency }
    else if (surgery !== undefined && isIsoDay(surgery)) asking = { ...asking, surgeryDate: surgery }
    else if (hide !== undefined && /^[2-9]$/u.test(hide)) asking = { ...asking, hideUntil: Number(hide) }
    else if (hide !== undefined && /^(?:i lift(?: them)?|asker lifts|)$/iu.test(hide))
      asking = { ...asking, hideUntil: 'asker-lifts' }
    else
      problems.push(
        `“${said}” is not understood. Write: post ask NAMES; today; surgery 2026-03-09; hide until 3; deputy NAME. Each part may be left out`,
      )
  }
  return problems.length > 0 ? { problems } : { asking }
}

export const isIsoDay = (text: string): boolean => {
  if (!/^\d{4}-\d{2}-\d{2}$/u.test(text)) return false
  const ms = Date.parse(`${text}T00:00:00Z`)
  return Number.isFinite(ms) && new Date(ms).toISOString().startsWith(text)
}
