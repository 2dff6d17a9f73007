import type { Card, ChoiceAction } from '../cards/card.js'
import type { FormAbout, FormId } from '../cards/form.js'
import type { ReminderKind } from '../consult/events.js'
import type { Person, Place } from '../consult/people.js'
import type { Identifier } from '../intake/identifiers.js'

/**
 * What reaches the desk from any chat or from the page, already in our own words. The adapter makes it from the
 * platform's envelope in one pure step; it is durable before the platform is answered.
 */
export type Inbound =
  /** Something typed or pasted: a case, a command such as `find …`, an answer in a thread, or nothing of use. */
  | {
      readonly kind: 'text'
      readonly text: string
      readonly by: Person
      readonly place: Place
      /** Whether it was addressed to the bot (command, mention, shortcut, direct message) or overheard in a thread. */
      readonly addressed: boolean
      readonly hasPicture: boolean
      /** The platform's id of the message, where it has one: an edit or a deletion names it again. */
      readonly message?: string
      readonly mentioned?: readonly Mentioned[]
      readonly reply: ReplyHandle
    }
  | {
      readonly kind: 'choice'
      readonly does: ChoiceAction
      /** A sentence typed with the choice, where the platform has a field for it. */
      readonly sentence?: string
      readonly by: Person
      readonly place: Place
      readonly reply: ReplyHandle
    }
  /** The answers of a form that `formFor` made, by field id; `about` as the form had it. A field left empty may be absent. */
  | {
      readonly kind: 'form'
      readonly form: FormId
      readonly about: FormAbout
      readonly values: Readonly<Record<string, string>>
      /** People who were picked from the chat's own list, by the names that stand among the answers. */
      readonly mentioned?: readonly Mentioned[]
      readonly by: Person
      readonly place: Place
      readonly reply: ReplyHandle
    }
  /**
   * A message in a thread was changed, taken back, or was a picture. `text`: as it reads now, or what was said with the picture.
   * `ref`: the consult, where its author did this to it on the page and waits to be told; absent: the thread of `place`.
   */
  | {
      readonly kind: 'edited' | 'deleted' | 'picture'
      readonly ref?: string
      readonly message: string
      readonly text?: string
      readonly mentioned?: readonly Mentioned[]
      readonly by: Person
      readonly place: Place
      readonly reply: ReplyHandle
    }
  /** A reminder fell due. Comes from our own clock, never from a chat; `by` is `SOUNDINGS`. */
  | {
      readonly kind: 'reminder'
      readonly ref: string
      readonly reminder: ReminderKind
      readonly to: readonly string[]
      readonly by: Person
      readonly place: Place
      readonly reply: ReplyHandle
    }
  /** What is left of a delivery that carried something identifying: never the text. */
  | {
      readonly kind: 'refused-identifiers'
      readonly found: readonly Identifier[]
      /** As for a text; a choice is always addressed. */
      readonly addressed: boolean
      readonly by: Person
      readonly place: Place
      readonly reply: ReplyHandle
    }

/** Whom or what the chat itself marks in a text: picked from its own list, not merely typed. */
export interface Mentioned {
  /** As it stands in the text after its "@" or "#". */
  readonly said: string
  readonly kind: 'person' | 'group' | 'channel'
  /** Our id of the person; of a group the platform's own id behind the platform and the workspace; the channel's id. */
  readonly id: string
  /** The people of a group, where the platform gives them. */
  readonly members?: readonly Pick<Person, 'id' | 'name'>[]
}

/** How to answer one person about one delivery; opaque to the desk, JSON for the store. */
export type ReplyHandle = Readonly<Record<string, string>>

/** A delivery with the key that makes a second copy of it recognisable. */
export interface Delivery {
  readonly key: string
  readonly inbound: Inbound
}

/**
 * What the desk wants said. Kept in the outbox in the same transaction as the events it speaks of;
 * each sender turns it into its platform's form at the moment of sending.
 */
export type Outbound =
  /** To the person who acted, seen by nobody else where the platform can do that. */
  | { readonly kind: 'answer'; readonly to: Person; readonly place: Place; readonly reply: ReplyHandle; readonly card: Card }
  /** The consult's own card: posted once, then updated in place as the consult moves. */
  | {
      readonly kind: 'consult-card'
      readonly ref: string
      readonly place: Place
      /** Who is told, and how, when it is not certain that the card was posted. */
      readonly tell?: { readonly to: Person; readonly place: Place; readonly reply: ReplyHandle }
    }
  /** A message of its own in the consult's thread, posted once and never changed: what changed, a reminder. */
  | {
      readonly kind: 'thread-note'
      readonly ref: string
      readonly place: Place
      readonly card: Card
      /** Names or ids of those it is for; the sender mentions the ones it can, so that the chat tells them. */
      readonly mentions?: readonly string[]
      /** Said to this one person alone, where their chat has a way to them; where it has none, the note stands in the thread. */
      readonly direct?: { readonly to: string; readonly card: Card }
    }

export type SendOutcome =
  /** `message` is the platform's own id of what now stands there. */
  | { readonly outcome: 'sent'; readonly message: string }
  /** Certainly not posted; may be tried again after the given time. */
  | { readonly outcome: 'not-sent'; readonly retryAfterMs: number; readonly because: string }
  /** The platform may or may not have it. Never repeated on its own unless the platform can be asked. */
  | { readonly outcome: 'unknown'; readonly because: string }
  /** The platform will not take it, now or later. */
  | { readonly outcome: 'refused'; readonly because: string }

/** One message of ours on a platform: the root card of a consult, or part `n` that follows in its thread. */
export interface Posting {
  readonly place: Place
  readonly card: Card
  /** Which message of the card: 0 is the root, the others follow in its thread. */
  readonly part: number
  /** Id of the root message, once it has one; needed for parts above 0. */
  readonly root?: string
  /** An opaque mark that a sender may attach and look for again. */
  readonly mark: string
  /**
   * A thread note: the whole card as one message of its own in the thread of `root`, never split; `part`
   * is 0. `mentions`: names or ids of those it is for, to be mentioned where the chat can.
   */
  readonly note?: { readonly mentions: readonly string[] }
}

/** A message to one person alone about a consult. */
export interface DirectMessage {
  /** Our id of the person. */
  readonly to: string
  readonly ref: string
  readonly card: Card
  /** Where the consult stands, and its root message there: what is said links to it. */
  readonly place: Place
  readonly root?: string
  /** An opaque mark, as on a posting. */
  readonly mark: string
}

/** What each chat adapter fills. */
export interface Sender {
  /** How many messages this card needs here; never fewer than 1. */
  partsOf(card: Card): number
  /** What one message of the card would say; a message whose content has not changed is not sent again. Absent: always sent. */
  contentOf?(card: Card, part: number): string
  post(posting: Posting): Promise<SendOutcome>
  /** Puts the present card in place of an earlier message. Repeating it is harmless. */
  update(posting: Posting, message: string): Promise<SendOutcome>
  /** Looks for an earlier posting with this mark; `cannot-look` where the platform has no read-back. */
  lookFor(posting: Posting, since: string): Promise<{ readonly found: string } | 'not-found' | 'cannot-look'>
  answer(outbound: Extract<Outbound, { kind: 'answer' }>): Promise<SendOutcome>
  /** Absent where the chat has no way to one person alone. `refused`: it has none to this person. */
  direct?(message: DirectMessage): Promise<SendOutcome>
  /** As `lookFor`, of a direct message. */
  lookForDirect?(message: DirectMessage, since: string): Promise<{ readonly found: string } | 'not-found' | 'cannot-look'>
  /** Our id of the one person who goes by this name there. */
  personNamed?(name: string, place: Place): Promise<string | undefined>
}

export interface Clock {
  /** ISO 8601, UTC. */
  now(): string
}

/** Where ids and references come from, so that the core needs no randomness of its own. */
export interface Names {
  draftId(): string
  /** A short readable reference that says nothing about the patient, such as MARSH-7; unique in this trail. */
  consultRef(taken: (ref: string) => Promise<boolean>): Promise<string>
}
