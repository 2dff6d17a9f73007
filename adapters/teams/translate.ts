import { fromAction } from './from-action.js'
import { fromChange } from './from-change.js'
import { fromInvoke } from './from-invoke.js'
import { fromMessage } from './from-message.js'
import { type ActivityEnvelope, changeActivity, invokeActivity, membersActivity, messageActivity } from './payloads.js'
import { conversationOf, nothing, type Translation } from './translation.js'

/** Kinds that Teams sends as a matter of course and that say nothing to us. */
const PASSED_OVER = new Set(['messageReaction', 'installationUpdate', 'typing', 'event', 'endOfConversation'])

/** An activity, of whatever kind, into what it means here. Pure: no look-ups, no clock. The tenant has been verified. */
export function translate(body: unknown, envelope: ActivityEnvelope, tenant: string): Translation {
  switch (envelope.type) {
    case 'message': {
      const message = messageActivity.safeParse(body)
      if (!message.success) return { kind: 'nothing', because: 'a message of a form that is not read here', unread: true }
      const { data } = message
      return data.value === undefined || data.value === null ? fromMessage(data, tenant) : fromAction(data, tenant)
    }
    case 'invoke': {
      const invoked = invokeActivity.safeParse(body)
      if (!invoked.success) return { kind: 'nothing', because: 'an invocation of a form that is not read here', unread: true }
      return fromInvoke(invoked.data, tenant)
    }
    case 'messageUpdate':
    case 'messageDelete': {
      const change = changeActivity.safeParse(body)
      if (!change.success) return { kind: 'nothing', because: 'a change of a form that is not read here', unread: true }
      return fromChange(change.data, tenant)
    }
    case 'conversationUpdate': {
      const added = membersActivity.safeParse(body).data?.membersAdded ?? []
      return added.some(({ id }) => id === envelope.recipient.id)
        ? { kind: 'welcome', conversation: conversationOf(envelope, tenant) }
        : nothing('not about the bot')
    }
    default:
      if (PASSED_OVER.has(envelope.type)) return nothing(envelope.type)
      return { kind: 'nothing', because: `not a kind of activity that is read here: ${named(envelope.type)}`, unread: true }
  }
}

/** The kind alone, for the log. */
const named = (type: string): string => (/^[a-zA-Z/]{1,60}$/.test(type) ? type : 'unknown')
