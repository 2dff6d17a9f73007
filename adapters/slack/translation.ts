import type { Inbound, ReplyHandle } from '../../src/desk/ports.js'

/** What a Slack payload turns into. */
export type Translation =
  | {
      readonly kind: 'delivery'
      readonly key: string
      readonly inbound: Extract<Inbound, { kind: 'text' | 'choice' }>
      /** Slack's id of who acted, for looking up the name. */
      readonly userId: string
      /** A reply in a thread whose first message is somebody else's: kept only if a consult hangs there. */
      readonly strangersThread: boolean
    }
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
