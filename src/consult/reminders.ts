import { type AskedConsult, isOpen, openTasks } from './consult.js'
import { REMINDERS, type ReminderKind } from './events.js'
import { awaitsOutcome, isOutcomeReminder, OUTCOMES_DUE, type OutcomeReminder, operatedOn } from './outcome-due.js'
import { idsOf } from './people.js'

/** What a person's own clock says and what they want, worked out by whoever knows time zones. */
export interface PersonTime {
  /** Our id of somebody who was named in words, where it is known. */
  readonly id?: string
  /** Minutes that the person's clock is ahead of UTC now. */
  readonly offsetMinutes: number
  /** Minutes of the person's day between which nothing is sent; may go over midnight. Absent: none. */
  readonly quiet?: { readonly fromMinute: number; readonly toMinute: number }
  readonly reminders: boolean
}

export interface DueReminder {
  readonly kind: ReminderKind
  /** Names or ids of those it is for. */
  readonly to: readonly string[]
}

export interface Reminding {
  readonly due: readonly DueReminder[]
  /** ISO time before which nothing more can fall due; absent: nothing, until the consult changes. */
  readonly lookAt?: string
}

const MINUTE_MS = 60_000
const DAY_MS = 24 * 60 * MINUTE_MS
const DAY_MINUTES = 24 * 60

/** The day before surgery it is said at this minute of the asker's day: late enough to be awake, early enough to act. */
const DAY_BEFORE_MINUTE = 9 * 60

/**
 * The reminders that are due for a consult, and when to look again. Each kind is sent once a consult, and again only
 * after it was taken up anew.
 * @param of what a person's clock says and what they want; asked for everybody whom a reminder could be for
 * @param now ISO time, UTC
 */
export function remindersOf(consult: AskedConsult, of: (person: string) => PersonTime, now: string): Reminding {
  const nowMs = Date.parse(now)
  const due: DueReminder[] = []
  const looks: number[] = []
  for (const kind of REMINDERS) {
    const from = fallsDue(consult, kind, of)
    if (from === undefined) continue
    if (from > nowMs) {
      looks.push(from)
      continue
    }
    // A clock that stood still for days does not send the day-before reminder after the day.
    if (kind === 'open-tasks' && nowMs - from > DAY_MS) continue
    // Nor is an outcome asked for when the next one is due: that one asks for both.
    if (isOutcomeReminder(kind) && laterIsDue(consult, kind, of, nowMs)) continue
    const wanted = recipients(consult, kind).filter((person) => !pausedFor(consult, of(person).id ?? person, kind, now))
    const reached = wanted.filter((person) => of(person).reminders)
    // Silence has a consequence whoever has switched reminders off: the deputy is asked, and the card says it.
    if (reached.length === 0 && kind !== 'unanswered') {
      if (wanted.length > 0) looks.push(nowMs + DAY_MS)
      continue
    }
    const waits =
      consult.asking.urgency === 'today' ? 0 : Math.max(0, ...reached.map((person) => quietMinutesLeft(of(person), nowMs)))
    if (waits > 0) looks.push(nowMs + waits * MINUTE_MS)
    else due.push({ kind, to: [...new Set(reached.map((person) => of(person).id ?? person))] })
  }
  return { due, ...(looks.length === 0 ? {} : { lookAt: new Date(Math.min(...looks)).toISOString() }) }
}

/** Whether a reminder of this kind still makes sense: it may have been answered while it was on its way. */
export const stillDue = (consult: AskedConsult, kind: ReminderKind, now: string): boolean => {
  const from = fallsDue(consult, kind, () => ({ offsetMinutes: 0, reminders: true }))
  return from !== undefined && from <= Date.parse(now) + DAY_MS
}

/** When a reminder falls due, UTC ms; undefined when there is no cause for it. */
function fallsDue(consult: AskedConsult, kind: ReminderKind, of: (person: string) => PersonTime): number | undefined {
  if (!(isOpen(consult) || awaitsOutcome(consult, kind)) || wasSent(consult, kind)) return undefined
  const { asking, status, opinions } = consult
  switch (kind) {
    case 'unanswered':
      if (status !== 'asked' || opinions.length > 0 || asking.answerBy === undefined) return undefined
      return Date.parse(asking.answerBy)
    case 'open-tasks': {
      const { surgeryDate } = asking
      if (surgeryDate === undefined || status === 'operated' || openTasks(consult).length === 0) return undefined
      const { offsetMinutes } = of(consult.askedBy.id)
      return Date.parse(`${surgeryDate}T00:00:00Z`) - DAY_MS + (DAY_BEFORE_MINUTE - offsetMinutes) * MINUTE_MS
    }
    case 'outcome-first-weeks':
    case 'outcome-four-to-six-weeks':
    case 'outcome-twelve-months': {
      const day = operatedOn(consult)
      if (day === undefined || !awaitsOutcome(consult, kind)) return undefined
      const { offsetMinutes } = of(consult.askedBy.id)
      return (
        Date.parse(`${day}T00:00:00Z`) + OUTCOMES_DUE[kind].afterDays * DAY_MS + (DAY_BEFORE_MINUTE - offsetMinutes) * MINUTE_MS
      )
    }
    default:
      return unreachable(kind)
  }
}

/** Whether the outcome after this one is due by now as well. */
function laterIsDue(consult: AskedConsult, kind: OutcomeReminder, of: (person: string) => PersonTime, nowMs: number): boolean {
  const outcomes = REMINDERS.filter(isOutcomeReminder)
  return outcomes
    .slice(outcomes.indexOf(kind) + 1)
    .some((later) => (fallsDue(consult, later, of) ?? Number.POSITIVE_INFINITY) <= nowMs)
}

/** Whether it was sent since the consult was asked, or last taken up again. */
function wasSent({ reminders, turns }: AskedConsult, kind: ReminderKind): boolean {
  const reopened = turns.findLast(({ turn }) => turn === 'reopened')?.at
  return reminders.some((sent) => sent.kind === kind && (reopened === undefined || sent.at >= reopened))
}

/** For whom a reminder is, each once. Where nobody was asked by name, an unanswered consult is the whole channel's. */
export function recipients(consult: AskedConsult, kind: ReminderKind): readonly string[] {
  const { asking, askedBy } = consult
  if (kind === 'unanswered') return idsOf(asking.deputy === undefined ? (asking.asked ?? []) : [asking.deputy], asking.reached)
  if (kind !== 'open-tasks') return [askedBy.id]
  const owners = openTasks(consult).flatMap(({ owner, reached }) =>
    owner === undefined || owner === askedBy.name ? [] : idsOf([owner], reached),
  )
  return [...new Set([askedBy.id, ...owners])]
}

/** Everybody whom a reminder of this consult could be for, its asker included. */
export const recipientsOfAny = (consult: AskedConsult): readonly string[] => [
  ...new Set([consult.askedBy.id, ...REMINDERS.flatMap((kind) => recipients(consult, kind))]),
]

/** Whoever has stopped reminders of a consult gets none of them, until the day they named. */
function pausedFor({ paused }: AskedConsult, person: string, kind: ReminderKind, now: string): boolean {
  return paused.some(
    ({ by, kinds, until }) =>
      by === person && (kinds === undefined || kinds.includes(kind)) && (until === undefined || now < until),
  )
}

function quietMinutesLeft({ quiet, offsetMinutes }: PersonTime, nowMs: number): number {
  if (quiet === undefined || quiet.fromMinute === quiet.toMinute) return 0
  const minute = wrapped(Math.floor(nowMs / MINUTE_MS) + offsetMinutes)
  const length = wrapped(quiet.toMinute - quiet.fromMinute)
  const into = wrapped(minute - quiet.fromMinute)
  return into < length ? length - into : 0
}

const wrapped = (minutes: number): number => ((minutes % DAY_MINUTES) + DAY_MINUTES) % DAY_MINUTES

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
