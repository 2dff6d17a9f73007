import type { ChoiceAction } from '../../src/cards/card.js'
import type { Person, Place } from '../../src/consult/people.js'
import type { Inbound, ReplyHandle } from '../../src/desk/ports.js'
import type { Mark } from './plain-text.js'

/** What a Slack payload turns into. */
export type Translation =
  | {
      readonly kind: 'delivery'
      readonly key: string
      readonly inbound: Exclude<Inbound, { kind: 'refused-identifiers' | 'reminder' | 'form' }>
      /** Slack's id of who acted, for looking up the name. */
      readonly userId: string
      /** Whom and what its text marks. */
      readonly marks?: readonly Mark[]
      /** A reply in a thread whose first message is somebody else's: kept only if a consult hangs there. */
      readonly strangersThread: boolean
    }
  /** The answers of a form. `picked`: Slack's ids of people, by field, whose names go among the answers. */
  | {
      readonly kind: 'form'
      readonly key: string
      readonly inbound: Extract<Inbound, { kind: 'form' }>
      readonly userId: string
      readonly picked: Readonly<Record<string, readonly string[]>>
    }
  /** A button that opens a form. `inbound` is what the desk is told where the form cannot be opened. */
  | {
      readonly kind: 'open-form'
      readonly key: string
      readonly inbound: Extract<Inbound, { kind: 'choice' }>
      readonly does: Extract<ChoiceAction, { action: 'open-form' }>
      readonly triggerId: string
      readonly userId: string
    }
  /** Somebody looks at the Home tab. */
  | { readonly kind: 'home'; readonly by: Person; readonly place: Place; readonly userId: string }
  /** A button that this version does not know. */
  | { readonly kind: 'unknown-button'; readonly userId: string; readonly reply: ReplyHandle }
  /** Not ours to act on. `unread` where the kind itself is not known here, which may mean that Slack has changed. */
  | { readonly kind: 'nothing'; readonly because: string; readonly unread?: true }

/** Who we are in the workspace. */
export interface Bot {
  readonly userId: string
  readonly botId: string
}

export const nothing = (because: string): Translation => ({ kind: 'nothing', because })

export const personId = (team: string, user: string): string => `slack:${team}:${user}`

/** A thread hangs from another message; Slack also writes `thread_ts` on the first message of a thread, as its own time. */
export const threadOf = (threadTs: string | undefined, ts: string | undefined): { readonly thread?: string } =>
  threadTs !== undefined && threadTs !== ts ? { thread: threadTs } : {}
