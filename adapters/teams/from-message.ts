import { markedIn } from './marked.js'
import type { MessageActivity } from './payloads.js'
import { said } from './plain-text.js'
import { conversationOf, nameOf, nothing, personId, replyTo, type Translation, threadOf, withoutThread } from './translation.js'

/**
 * Something typed. Addressed: in the personal chat, or with the bot named. Otherwise only replies in the threads of a
 * channel are of interest; the rest of a channel's talk is not ours to keep. Group chats and personal chats have no
 * threads: there a quoted message stands for one.
 */
export function fromMessage(activity: MessageActivity, tenant: string): Translation {
  if (activity.from.role === 'bot' || activity.from.id.startsWith('28:')) return nothing('written by a bot')

  const conversation = conversationOf(activity, tenant)
  const { kind, id: channel } = conversation
  const addressed = kind === 'personal' || activity.entities.some(({ mentioned }) => mentioned.id === activity.recipient.id)
  const { text, quotes, hasPicture } = said(activity)
  const root = kind === 'channel' ? withoutThread(activity.conversation.id).root : quotes
  const thread = threadOf(root, activity.id)
  if (!addressed && thread.thread === undefined) return nothing('not addressed to the bot and not in a thread')

  const mentioned = markedIn(activity, tenant)
  const told = {
    by: { id: personId(tenant, activity.from), name: nameOf(activity.from) },
    place: { platform: 'teams', workspace: tenant, channel, ...thread } as const,
    message: activity.id,
    // an answer that has to be given in a channel after all goes under the message it answers
    reply: replyTo(conversation, activity, kind === 'channel' ? { thread: root || activity.id } : {}),
  }
  return {
    kind: 'delivery',
    key: `teams:${channel}:${activity.id}`,
    conversation,
    strangersThread: !addressed,
    // of a picture only that it was shown is kept: its name may be the patient's, and it stays where it is
    inbound:
      hasPicture && text === '' && thread.thread !== undefined
        ? { kind: 'picture', ...told }
        : { kind: 'text', text, addressed, hasPicture, ...(mentioned.length === 0 ? {} : { mentioned }), ...told },
  }
}
