import type { Case } from '../case/case.js'
import type { Asking, ConsultEvent } from '../consult/events.js'
import type { Person, Place } from '../consult/people.js'
import type { Plan } from '../plan/plan.js'
import type { FeatureRows } from '../trail/features.js'
import type { Scope, TrailReading } from '../trail/trail-store.js'
import type { Access, AccessLog } from './access-log.js'
import type { Delivery, Inbound, Outbound } from './ports.js'
import type { Audience, KeptAudiences, Room } from './rooms.js'

/** A case as it was understood, shown to its asker and not yet put to the team. Belongs to one person and one place. */
export interface Draft {
  readonly id: string
  readonly by: string
  readonly place: Place
  readonly at: string
  /** The message as it was typed, so that it can be corrected. */
  readonly text: string
  /** What was read from it: the plan of a draft is not kept, since the same case on the same ground gives the same plan. */
  readonly case: Case
  /** Of the plan that its asker saw. What is put to the team must have the same one. */
  readonly fingerprint: string
  /** What keeps it from being posted; empty when nothing does. */
  readonly blockedBy: readonly string[]
  /** How it is to be put, where its asker said so before posting. */
  readonly asking?: DraftAsking
}

export interface DraftAsking extends Asking {
  /** True when the asker chose another channel than the one they wrote in; then `place` is the chosen one. */
  readonly elsewhere?: boolean
}

/** What a person wants of reminders. No row: reminders on, in the department's zone, with its quiet hours. */
export interface PersonSettings {
  readonly id: string
  readonly reminders: boolean
  /** IANA name of a time zone, such as `Europe/London`. */
  readonly zone?: string
  /** Hours and minutes of the person's own day between which nothing is sent: `20:00` to `07:00`. */
  readonly quiet?: { readonly from: string; readonly to: string }
}

/**
 * A draft as the store knows it. A posted or cancelled one keeps no text and no case: only what became of it.
 * A corrected one keeps its text, so that the correction can be asked for again.
 */
export type KeptDraft =
  | ({ readonly state: 'open' } & Draft)
  | ({ readonly state: 'corrected' } & Draft)
  /** Made by an earlier version of the program, whose case this one cannot read; its text is still there. */
  | ({ readonly state: 'outdated' } & Omit<Draft, 'case' | 'fingerprint'>)
  | { readonly state: 'posted'; readonly id: string; readonly by: string; readonly place: Place; readonly ref: string }
  | { readonly state: 'cancelled'; readonly id: string; readonly by: string; readonly place: Place }

export type DraftChange =
  | { readonly change: 'put'; readonly draft: Draft }
  | { readonly change: 'posted'; readonly id: string; readonly ref: string }
  | { readonly change: 'corrected' | 'cancelled'; readonly id: string }

/** Everything that one delivery brings about. It happens in one transaction, or not at all. */
export interface Effects {
  readonly events: readonly ConsultEvent[]
  /** How many events the consult had when these were decided on. */
  readonly expected: number
  readonly plans: readonly { readonly hash: string; readonly plan: Plan }[]
  readonly drafts: readonly DraftChange[]
  readonly people: readonly Person[]
  /** Who has acted, and people and groups that the chat marks, by the name they go by now; what they said of themselves stays. */
  readonly heardOf: readonly Pick<Person, 'id' | 'name'>[]
  readonly outbound: readonly Outbound[]
  readonly settings: readonly PersonSettings[]
  /** Consults whose unsent messages a person has asked to be sent again. */
  readonly postAgain: readonly string[]
  /** What a person is shown by this, for the access log. */
  readonly accesses: readonly Access[]
}

export const NO_EFFECTS: Effects = {
  events: [],
  expected: 0,
  plans: [],
  drafts: [],
  people: [],
  heardOf: [],
  outbound: [],
  settings: [],
  postAgain: [],
  accesses: [],
}

/** How it stands with the messages of a consult's card. */
export type CardStanding = 'none' | 'waiting' | 'posted' | 'possibly-posted' | 'refused'

/** What the desk may look at while it works out the effects of a delivery. */
export interface DeskView extends Pick<TrailReading, 'events' | 'plan' | 'find' | 'newest'>, FeatureRows, KeptAudiences {
  /** The consults that are neither closed nor withdrawn, newest first. */
  open(scope: Scope, limit: number): Promise<readonly string[]>
  settings(id: string): Promise<PersonSettings | undefined>
  draft(id: string): Promise<KeptDraft | undefined>
  /** The newest draft that this person can still act on in this channel. */
  newestDraft(by: string, place: Place): Promise<string | undefined>
  person(id: string): Promise<Person | undefined>
  /** Everybody who has been heard of in the workspace of this place, by name. */
  people(place: Place): Promise<readonly Person[]>
  /** The consult whose card, or whose asking, opened the thread of this place. */
  consultInThread(place: Place): Promise<string | undefined>
  cardStanding(ref: string): Promise<CardStanding>
}

/** A delivery taken from the inbox. */
export interface Waiting {
  readonly seq: number
  readonly inbound: Inbound
  /** How often it has been tried before. */
  readonly attempts: number
}

export interface Failure {
  readonly at: string
  /** What the person and the log both name it by. */
  readonly errorRef: string
  readonly retryAt?: string
  readonly tell?: Outbound
}

export interface Inbox {
  /** Durable when it returns. A second delivery with the same key changes nothing. */
  put(delivery: Delivery, at: string): Promise<'new' | 'duplicate'>
  /** The oldest delivery that is due. */
  next(now: string): Promise<Waiting | undefined>
  /** When the next one falls due, if any waits. */
  nextDue(): Promise<string | undefined>
  /** All effects and the end of the delivery in one transaction; `conflict` when the trail moved on meanwhile. */
  commit(seq: number, effects: Effects, at: string): Promise<'committed' | 'conflict'>
  /** Keeps a delivery that could not be handled: for another try, or parked for a person to look at when `retryAt` is absent. */
  fail(seq: number, failure: Failure): Promise<void>
}

/** A message of ours on its way out. */
export type Outgoing = OutgoingAnswer | OutgoingPart | OutgoingNote

export interface OutgoingAnswer {
  readonly kind: 'answer'
  readonly seq: number
  readonly attempts: number
  readonly queuedAt: string
  readonly outbound: Extract<Outbound, { kind: 'answer' }>
}

/** A message of its own in a consult's thread. */
export interface OutgoingNote {
  readonly kind: 'note'
  readonly seq: number
  readonly attempts: number
  readonly channel: string
  readonly mark: string
  readonly outbound: Extract<Outbound, { kind: 'thread-note' }>
  /** A first post, or a look whether it stands there. */
  readonly step: 'post' | 'look'
  /** The platform's id of the consult's card, once it stands there. */
  readonly root?: string
  /** When the post was begun whose outcome is unknown. */
  readonly startedAt?: string
  readonly looks: number
}

/** One message of a consult's card: part 0 is the root. */
export interface OutgoingPart {
  readonly kind: 'part'
  readonly seq: number
  readonly ref: string
  readonly part: number
  readonly place: Place
  readonly channel: string
  readonly mark: string
  readonly attempts: number
  /** What the next step is: a first post, an update of what stands there, or a look whether it stands there. */
  readonly step: 'post' | 'update' | 'look'
  /** The platform's id of this message, once it is known. */
  readonly message?: string
  readonly root?: string
  /** When the post was begun whose outcome is unknown. */
  readonly startedAt?: string
  /** How often it was looked for. */
  readonly looks: number
  /** The revision of the card that is wanted now; what was sent is compared with it afterwards. */
  readonly desired: number
  /** Hash of what this message last showed. */
  readonly shows?: string
  readonly tell?: NonNullable<Extract<Outbound, { kind: 'consult-card' }>['tell']>
}

/** How a step ended, in the words of the outbox. */
export type Settled =
  /** `parts`: how many messages the card needs whose first one this is; those that are missing are put on their way with it. */
  | {
      readonly state: 'sent'
      readonly message?: string
      readonly desired?: number
      readonly shows?: string
      readonly parts?: number
    }
  | { readonly state: 'queued'; readonly retryAt: string; readonly because: string }
  /** `lookAt` absent: nothing more can be found out without a person. */
  | { readonly state: 'unknown'; readonly lookAt?: string; readonly because: string }
  | { readonly state: 'refused'; readonly because: string }

/** Answers and cards go out in lanes of their own, each platform for itself: a slow one holds up no other. */
export interface Lane {
  readonly platform: Place['platform']
  /** Notes go with the parts of cards: they share the channel's rest. */
  readonly kind: 'answer' | 'part'
}

export interface Outbox {
  /** The message that has been due longest, outside channels that must rest a moment. */
  next(now: string, lane: Lane & { readonly heldChannels: readonly string[] }): Promise<Outgoing | undefined>
  /** When the next one of the lane falls due, if any waits. */
  nextDue(lane: Lane): Promise<string | undefined>
  /** Durable before the platform is called: a crash in between leaves an unknown outcome, not a second post. */
  begin(seq: number, at: string): Promise<void>
  /** Records how a step ended and, in the same transaction, what a person is told about it. */
  settle(seq: number, settled: Settled, at: string, tell?: Outbound): Promise<void>
  /** Makes room for the messages that follow the root of a card: `parts` in all, the root included. */
  addParts(ref: string, parts: number, at: string): Promise<void>
}

export const CONVERSATION_KINDS = ['channel', 'group', 'personal'] as const

/** What a chat without one fixed address must know of a conversation to post in it unasked. Nothing of what was said. */
export interface Conversation {
  readonly tenant: string
  /** Without the mark of a thread. */
  readonly id: string
  readonly kind: (typeof CONVERSATION_KINDS)[number]
  /** Where the platform takes messages for it; may move, so each delivery refreshes it. */
  readonly serviceUrl: string
}

/** Survives a restart, so that a card can be updated by a bot that has heard nothing since. */
export interface Conversations {
  get(tenant: string, id: string): Promise<Conversation | undefined>
  put(conversation: Conversation): Promise<void>
}

/** Who reads which room, as its chat last said. */
export interface Audiences {
  get(room: Room): Promise<{ readonly audience: Audience; readonly at: string } | undefined>
  put(room: Room, audience: Audience, at: string): Promise<void>
}

/** Which consults must be looked at for reminders, and when. Derived from the trail; a wrong time costs a look, never a reminder. */
export interface Reminding {
  /** References of the consults that are to be looked at now, the most overdue first. */
  due(now: string, limit: number): Promise<readonly string[]>
  nextDue(): Promise<string | undefined>
  /** When to look next, for a consult that had so many events when this was worked out; absent: not before it changes. */
  lookNext(ref: string, events: number, at: string | undefined): Promise<void>
}

/** Counts for readiness, metrics and the log. */
export interface Standing {
  readonly inboxWaiting: number
  readonly inboxFailed: number
  readonly outboxQueued: number
  readonly outboxUnknown: number
  readonly outboxRefused: number
}

/**
 * The facts of consults that an earlier version wrote without them. They are made a few at a time, each few in a transaction of
 * their own, while the server is at work: what was made stays made when the program is stopped meanwhile.
 */
export interface MissingFacts {
  /** How many consults lack them. */
  count(): Promise<number>
  /** Makes those of the next consults. Fewer than `atMost`: none is left. */
  make(atMost: number): Promise<number>
  /** True until it is known that none is missing. */
  readonly anyLeft: () => boolean
}

/** Everything a store does, behind one port; SQLite now, others by the same contract. */
export interface Store {
  readonly view: DeskView
  readonly trail: TrailReading
  readonly inbox: Inbox
  readonly outbox: Outbox
  readonly conversations: Conversations
  readonly audiences: Audiences
  readonly reminding: Reminding
  readonly accessLog: AccessLog
  standing(): Promise<Standing>
  close(): Promise<void>
}
