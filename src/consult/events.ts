import type { Decided } from './decided.js'
import type { Opinion } from './opinion.js'
import type { Outcome } from './outcome.js'
import type { Person, Place, Reached } from './people.js'

/**
 * What has happened to a consult, past tense, never edited. `by` and `at` (ISO, UTC) stand on each.
 * Plans are stored beside the events under their content hash and are read as they were, never recomputed.
 */
interface Happened {
  readonly by: Person
  readonly at: string
  readonly ref: string
}

export const URGENCIES = ['routine', 'this-week', 'today'] as const
export type Urgency = (typeof URGENCIES)[number]

/** How a consult is put: to whom, how soon, and what happens when nobody answers. */
export interface Asking {
  readonly urgency?: Urgency
  /** ISO date. */
  readonly surgeryDate?: string
  /** Names or ids of the people or groups who are asked; absent: the whole channel. */
  readonly asked?: readonly string[]
  /** Whom the names of `asked` and `deputy` stand for, as far as they are known. */
  readonly reached?: readonly Reached[]
  /** Opinions stay hidden until so many colleagues have answered, or until the asker lifts them. Absent: shown at once. */
  readonly hideUntil?: number | 'asker-lifts'
  /** Name or id of who is asked when nobody has answered by `answerBy`. */
  readonly deputy?: string
  /** ISO time, UTC. */
  readonly answerBy?: string
}

export interface ConsultAsked extends Happened, Asking {
  readonly type: 'consult-asked'
  readonly place: Place
  readonly planHash: string
  /** The asker's question in their own words, where there is one. */
  readonly question?: string
  /** Words a search finds this consult by, made from the plan. */
  readonly words: string
}

export interface OpinionGiven extends Happened {
  readonly type: 'opinion-given'
  /** The revision of the case that was answered, from 1. */
  readonly revision: number
  readonly opinion: Opinion
}

export interface OpinionsRevealed extends Happened {
  readonly type: 'opinions-revealed'
}

export interface ConsultRevised extends Happened {
  readonly type: 'consult-revised'
  /** The revision that this makes, from 2. */
  readonly revision: number
  readonly planHash: string
  readonly words: string
  /** The asker's question as the changed case has it. */
  readonly question?: string
  /** What changed in the inputs, one sentence an item. */
  readonly changed: readonly string[]
}

/** Something said in the thread, kept as part of the talk. */
export interface CommentMade extends Happened {
  readonly type: 'comment-made'
  readonly text: string
  /** The platform's id of the message, so that an edit or a deletion finds it. */
  readonly message?: string
}

export interface CommentEdited extends Happened {
  readonly type: 'comment-edited'
  readonly message: string
  readonly text: string
}

export interface CommentDeleted extends Happened {
  readonly type: 'comment-deleted'
  readonly message: string
}

/** A picture was posted in the thread. It stays there: only that it was shown, and what it was said to show, is kept. */
export interface PictureShown extends Happened {
  readonly type: 'picture-shown'
  readonly message?: string
  readonly said: string
}

export interface TaskOpened extends Happened {
  readonly type: 'task-opened'
  /** T1, T2, … within the consult. */
  readonly task: string
  readonly what: string
  /** Name or id of who takes it; absent: nobody yet. */
  readonly owner?: string
  /** Whom the name of the owner stands for, as far as that is known. */
  readonly reached?: readonly Reached[]
  /** ISO date. */
  readonly due?: string
  readonly from: 'gap' | 'opinion' | 'typed'
  /** The fact whose gap it closes. */
  readonly fact?: string
}

export interface TaskDone extends Happened {
  readonly type: 'task-done'
  readonly task: string
  readonly result?: string
}

/** A later decision replaces an earlier one, which stays in the trail. */
export interface ConsultDecided extends Happened {
  readonly type: 'consult-decided'
  readonly revision: number
  readonly decision: Decided
}

export interface OutcomeRecorded extends Happened {
  readonly type: 'outcome-recorded'
  readonly outcome: Outcome
}

export interface ConsultClosed extends Happened {
  readonly type: 'consult-closed'
  readonly because?: string
}

export interface ConsultReopened extends Happened {
  readonly type: 'consult-reopened'
  readonly because: string
}

export interface ConsultWithdrawn extends Happened {
  readonly type: 'consult-withdrawn'
  readonly because: string
}

/** Somebody else asks from now on: their colleague has left, or is away. */
export interface ConsultReassigned extends Happened {
  readonly type: 'consult-reassigned'
  readonly to: Person
}

/** Nobody had answered by the set time, so the deputy is asked. */
export interface DeputyAsked extends Happened {
  readonly type: 'deputy-asked'
  readonly deputy: string
}

export const REMINDERS = [
  'unanswered',
  'open-tasks',
  'outcome-first-weeks',
  'outcome-four-to-six-weeks',
  'outcome-twelve-months',
] as const
export type ReminderKind = (typeof REMINDERS)[number]

export interface ReminderSent extends Happened {
  readonly type: 'reminder-sent'
  readonly kind: ReminderKind
  /** Names or ids of those it was for. */
  readonly to: readonly string[]
}

/** `by` wants no more reminders about this consult: of these kinds, or of any. */
export interface RemindersPaused extends Happened {
  readonly type: 'reminders-paused'
  readonly kinds?: readonly ReminderKind[]
  /** ISO time; absent: for good. */
  readonly until?: string
}

/** Something that its plan stood on was found wrong: `by` is whoever ran the recall. */
export interface ConsultRecalled extends Happened {
  readonly type: 'consult-recalled'
  /** What was found wrong, in a sentence. */
  readonly wrong: string
  /** Where it stood in this consult and what would change. */
  readonly here: string
}

export type ConsultEvent =
  | ConsultAsked
  | OpinionGiven
  | OpinionsRevealed
  | ConsultRevised
  | CommentMade
  | CommentEdited
  | CommentDeleted
  | PictureShown
  | TaskOpened
  | TaskDone
  | ConsultDecided
  | OutcomeRecorded
  | ConsultClosed
  | ConsultReopened
  | ConsultWithdrawn
  | ConsultReassigned
  | DeputyAsked
  | ReminderSent
  | RemindersPaused
  | ConsultRecalled
