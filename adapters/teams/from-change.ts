import { markedIn } from './marked.js'
import type { ChangeActivity } from './payloads.js'
import { said } from './plain-text.js'
import { conversationOf, nameOf, nothing, personId, replyTo, type Translation, threadOf, withoutThread } from './translation.js'

/**
 * A message in a channel's thread was edited, deleted, or brought back after that. Elsewhere nothing hangs in a thread that
 * could have been changed: a quoted message does not say which one it was.
 */
export function fromChange(activity: ChangeActivity, tenant: string): Translation {
  if (activity.from.role === 'bot' || activity.from.id.startsWith('28:')) return nothing('a change of a message that a bot wrote')
  const conversation = conversationOf(activity, tenant)
  const { kind, id: channel } = conversation
  const { root } = withoutThread(activity.conversation.id)
  const thread = kind === 'channel' ? threadOf(root, activity.id) : {}
  if (thread.thread === undefined) return nothing('a change of a message outside a thread')

  const deleted = activity.type === 'messageDelete'
  const about = {
    message: activity.id,
    by: { id: personId(tenant, activity.from), name: nameOf(activity.from) },
    place: { platform: 'teams', workspace: tenant, channel, ...thread } as const,
    reply: replyTo(conversation, activity, thread),
  }
  return {
    kind: 'delivery',
    key: `teams:${deleted ? 'deleted' : 'edited'}:${channel}:${activity.id}:${activity.timestamp}`,
    conversation,
    strangersThread: true,
    inbound: deleted
      ? { kind: 'deleted', ...about }
      : { kind: 'edited', text: said(activity).text, mentioned: markedIn(activity, tenant), ...about },
  }
}
