import type { ChoiceAction } from '../../src/cards/card.js'
import type { Inbound, ReplyHandle } from '../../src/desk/ports.js'
import type { Conversation } from '../../src/desk/store.js'
import type { ActivityEnvelope } from './payloads.js'

/** What a Teams activity turns into. */
export type Translation =
  | {
      readonly kind: 'delivery'
      readonly key: string
      readonly inbound: Exclude<Inbound, { kind: 'refused-identifiers' | 'reminder' }>
      readonly conversation: Conversation
      /** Its place is not where it came from: the button says so. */
      readonly claimed?: true
      /** The press that opened the dialog whose answers these are. */
      readonly dialog?: string
      /** Overheard in a channel's thread: kept only if a consult hangs there. Teams does not say who began a thread. */
      readonly strangersThread: boolean
    }
  /** A button that opens a form. `inbound` is what the desk is told where the form cannot be shown. */
  | {
      readonly kind: 'open-form'
      readonly key: string
      readonly inbound: Extract<Inbound, { kind: 'choice' }>
      readonly does: Extract<ChoiceAction, { action: 'open-form' }>
      readonly conversation: Conversation
      /** As for a delivery. */
      readonly claimed?: true
      /** The press by which a dialog is wanted, in place of a card. */
      readonly dialog?: string
    }
  /** A button that this version does not know. */
  | { readonly kind: 'unknown-button'; readonly conversation: Conversation; readonly reply: ReplyHandle }
  /** The bot was added to a team, a group chat or by a person. */
  | { readonly kind: 'welcome'; readonly conversation: Conversation }
  /** Not ours to act on. `unread` where the kind itself is not known here, which may mean that Teams has changed. */
  | { readonly kind: 'nothing'; readonly because: string; readonly unread?: true }

/** Who we are on Teams. */
export interface Bot {
  readonly id: string
}

/** Teams writes an app's id with 28 before it, a person's with 29. */
export const botOf = (appId: string): Bot => ({ id: `28:${appId}` })

export const nothing = (because: string): Translation => ({ kind: 'nothing', because })

/** The directory id where there is one: it is the same in every team; the other id is only this bot's. */
export const personId = (tenant: string, { aadObjectId, id }: ActivityEnvelope['from']): string =>
  `teams:${tenant}:${aadObjectId ?? id}`

export const nameOf = ({ name, id }: ActivityEnvelope['from']): string => (name?.trim() ? name.trim().slice(0, 80) : id)

const THREAD_MARK = ';messageid='

/** A conversation id of a channel carries the first message of the thread. */
export function withoutThread(conversationId: string): { readonly channel: string; readonly root?: string } {
  const at = conversationId.indexOf(THREAD_MARK)
  return at === -1
    ? { channel: conversationId }
    : { channel: conversationId.slice(0, at), root: conversationId.slice(at + THREAD_MARK.length) }
}

export const inThread = (channel: string, root: string): string => `${channel}${THREAD_MARK}${root}`

/** A thread hangs from another message; Teams also writes its mark on the first message of a thread. */
export const threadOf = (root: string | undefined, message: string | null | undefined): { readonly thread?: string } =>
  root !== undefined && root !== '' && root !== message ? { thread: root } : {}

/** Where it does not say, the kind that shows least to others and takes least for addressed. */
export function kindOf({ conversation, channelData }: ActivityEnvelope): Conversation['kind'] {
  switch (conversation.conversationType) {
    case 'personal':
      return 'personal'
    case 'channel':
      return 'channel'
    default:
      return channelData?.channel != null || channelData?.team != null ? 'channel' : 'group'
  }
}

export const tenantOf = ({ conversation, channelData }: ActivityEnvelope): string | undefined =>
  channelData?.tenant?.id ?? conversation.tenantId

/** The conversation as it is remembered for later sends. */
export function conversationOf(activity: ActivityEnvelope, tenant: string): Conversation {
  const { channel } = withoutThread(activity.conversation.id)
  return { tenant, id: channel, kind: kindOf(activity), serviceUrl: activity.serviceUrl }
}

/** What answering this person later needs, after a restart too. */
export function replyTo(
  { tenant, id, kind, serviceUrl }: Conversation,
  activity: ActivityEnvelope,
  more: { readonly thread?: string; readonly replaces?: string } = {},
): ReplyHandle {
  return { tenant, conversation: id, kind, serviceUrl, user: activity.from.id, ...more }
}
