import type { Decided } from './decided.js'
import type { ReminderKind } from './events.js'
import type { Opinion } from './opinion.js'
import type { Outcome } from './outcome.js'
import type { Person, Reached } from './people.js'

/** One opinion as it was given: on which revision of the case, and when. */
export interface GivenOpinion {
  readonly at: string
  /** The revision of the case that was answered, from 1. */
  readonly revision: number
  readonly opinion: Opinion
}

/** What one colleague thinks now, and what they said before. */
export interface ColleagueOpinion extends GivenOpinion {
  /** As they described themselves when they gave it. */
  readonly by: Person
  /** Oldest first. */
  readonly earlier: readonly GivenOpinion[]
}

export interface Comment {
  readonly by: Person
  readonly at: string
  /** As it reads now. */
  readonly text: string
  readonly message?: string
  /** What it said before it was edited, oldest first. */
  readonly earlier: readonly string[]
  /** ISO time at which its writer took it back in the chat; the trail keeps it. */
  readonly deletedAt?: string
}

/** A picture that was shown in the thread and stays there. */
export interface ShownPicture {
  readonly by: Person
  readonly at: string
  readonly said: string
}

export interface ConsultTask {
  /** T1, T2, … */
  readonly task: string
  readonly what: string
  readonly owner?: string
  /** Whom the name of the owner stands for, as far as that is known. */
  readonly reached?: readonly Reached[]
  /** ISO date. */
  readonly due?: string
  readonly from: 'gap' | 'opinion' | 'typed'
  readonly fact?: string
  readonly openedBy: Person
  readonly done?: { readonly by: Person; readonly at: string; readonly result?: string }
}

export interface Revision {
  readonly revision: number
  readonly planHash: string
  readonly by: Person
  readonly at: string
  /** Empty for the first. */
  readonly changed: readonly string[]
}

export interface MadeDecision {
  readonly by: Person
  readonly at: string
  /** The revision that was decided on. */
  readonly revision: number
  readonly decision: Decided
}

export interface RecordedOutcome {
  readonly by: Person
  readonly at: string
  readonly outcome: Outcome
}

export interface SentReminder {
  readonly kind: ReminderKind
  readonly to: readonly string[]
  readonly at: string
}

export interface PausedReminders {
  /** Id of the person who wants none. */
  readonly by: string
  readonly kinds?: readonly ReminderKind[]
  readonly until?: string
}

/** An end of a consult, or its being taken up again. */
export interface Turn {
  readonly turn: 'closed' | 'reopened' | 'withdrawn'
  readonly by: Person
  readonly at: string
  readonly because?: string
}

/** A recall that touched this consult. */
export interface Recalled {
  readonly by: Person
  readonly at: string
  readonly wrong: string
  readonly here: string
}
