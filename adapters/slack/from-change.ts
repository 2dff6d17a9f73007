import type { ChangeEnvelope } from './payloads.js'
import { marksIn, plainText } from './plain-text.js'
import { type Bot, nothing, personId, type Translation, threadOf } from './translation.js'

/** A deleted message that others have answered: Slack leaves a place holder under this name. */
const PLACE_HOLDER = 'tombstone'

/**
 * A message of a thread was changed or deleted. Slack also reports a change when it unfolds a link or counts replies:
 * there the text is as it was. Who deleted a message is not said, so it counts as its writer's own act.
 */
export function fromChange({ team_id: team, event }: ChangeEnvelope, bot: Bot): Translation {
  const before = event.previous_message
  const now = event.subtype === 'message_changed' ? event.message : undefined
  const deleted = now === undefined || now.subtype === PLACE_HOLDER
  const message = event.subtype === 'message_deleted' ? event.deleted_ts : event.message.ts
  const writer = before?.user ?? now?.user
  if (writer === undefined || writer === bot.userId || before?.bot_id !== undefined || now?.bot_id !== undefined)
    return nothing('a change of a message that a bot wrote')
  const thread = threadOf(before?.thread_ts ?? now?.thread_ts, message)
  if (thread.thread === undefined) return nothing('a change of a message outside a thread')
  if (!deleted && before !== undefined && before.text === now.text) return nothing('a change that left the text as it was')

  const user = deleted ? writer : (now.edited?.user ?? writer)
  const about = {
    message,
    by: { id: personId(team, user), name: `@${user}` },
    place: { platform: 'slack', workspace: team, channel: event.channel, ...thread } as const,
    reply: { channel: event.channel, user, ...thread },
  }
  return {
    kind: 'delivery',
    marks: marksIn(now?.text ?? '', bot.userId),
    key: `slack:${deleted ? 'deleted' : 'edited'}:${team}:${event.channel}:${message}:${event.ts}`,
    userId: user,
    strangersThread: true,
    inbound: deleted ? { kind: 'deleted', ...about } : { kind: 'edited', text: plainText(now.text, bot.userId), ...about },
  }
}
