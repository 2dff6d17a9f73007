import { type AskedConsult, isOpen } from './consult.js'
import type { ReminderKind } from './events.js'
import type { OutcomeStage } from './outcome.js'

/** When an outcome is asked for, days after the operation, and the stages that answer it. */
export const OUTCOMES_DUE = {
  'outcome-first-weeks': { afterDays: 7, answeredBy: ['first-weeks', 'four-to-six-weeks', 'twelve-months'] },
  'outcome-four-to-six-weeks': { afterDays: 28, answeredBy: ['four-to-six-weeks', 'twelve-months'] },
  'outcome-twelve-months': { afterDays: 365, answeredBy: ['twelve-months'] },
} as const satisfies Readonly<
  Partial<Record<ReminderKind, { readonly afterDays: number; readonly answeredBy: readonly OutcomeStage[] }>>
>
export type OutcomeReminder = keyof typeof OUTCOMES_DUE

export const isOutcomeReminder = (kind: ReminderKind): kind is OutcomeReminder => Object.hasOwn(OUTCOMES_DUE, kind)

/**
 * ISO day of the operation: as it was recorded, else the day it was planned for while the consult is still open; absent
 * where neither is known.
 */
export function operatedOn(consult: AskedConsult): string | undefined {
  const operation = consult.outcomes.find(({ outcome }) => outcome.stage === 'operation')
  if (operation) return operation.outcome.on ?? operation.at.slice(0, 10)
  return isOpen(consult) ? consult.asking.surgeryDate : undefined
}

/**
 * Whether an outcome of this stage is still wanted. Closing a consult ends its talk, not the eye: what comes late, such as
 * a detachment, is asked for all the same. After a year it is asked for only where an operation was recorded.
 */
export function awaitsOutcome(consult: AskedConsult, kind: ReminderKind): boolean {
  if (!isOutcomeReminder(kind) || consult.status === 'withdrawn' || operatedOn(consult) === undefined) return false
  const stages: readonly OutcomeStage[] = OUTCOMES_DUE[kind].answeredBy
  const recorded = consult.outcomes.map(({ outcome }) => outcome.stage)
  if (kind === 'outcome-twelve-months' && !recorded.some((stage) => stage !== 'near-miss')) return false
  return !recorded.some((stage) => stages.includes(stage))
}

/**
 * The stage that a form to record an outcome begins with: the operation first, then the one that its day calls for.
 * @param today ISO date
 */
export function stageDue(consult: AskedConsult, today: string): OutcomeStage {
  const operation = consult.outcomes.find(({ outcome }) => outcome.stage === 'operation')
  const day = operation && operatedOn(consult)
  if (day === undefined) return 'operation'
  const days = (Date.parse(today) - Date.parse(day)) / (24 * 60 * 60_000)
  if (days < FOUR_WEEKS_FROM) return 'first-weeks'
  return days < TWELVE_MONTHS_FROM ? 'four-to-six-weeks' : 'twelve-months'
}

/** A visit a little early counts as the one that was due. Common practice, no source. */
const FOUR_WEEKS_FROM = 21
const TWELVE_MONTHS_FROM = 200
