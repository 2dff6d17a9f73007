import type { MessageEnvelope } from './payloads.js'
import { marksIn, mentions, plainText } from './plain-text.js'
import { type Bot, nothing, personId, type Translation, threadOf } from './translation.js'

/** Messages with these subtypes were written by a person; all others are edits, deletions, joins and other machines. */
const WRITTEN = new Set([undefined, 'file_share', 'thread_broadcast', 'me_message'])

/**
 * A message or a mention. One message may arrive as both, so its key is its place and time, which both share.
 * Addressed: in a direct message, or with the bot named. Otherwise only replies in threads are of interest;
 * the rest of a channel's talk is not ours to keep.
 */
export function fromMessage({ team_id: team, event }: MessageEnvelope, bot: Bot): Translation {
  if (!WRITTEN.has(event.subtype)) return nothing('not newly written by a person')
  if (event.user === undefined || event.bot_id !== undefined || event.user === bot.userId) return nothing('written by a bot')

  const direct = event.channel_type === 'im' || event.channel.startsWith('D')
  const addressed = direct || event.type === 'app_mention' || mentions(event.text, bot.userId)
  const thread = threadOf(event.thread_ts, event.ts)
  if (!addressed && thread.thread === undefined) return nothing('not addressed to the bot and not in a thread')

  const text = plainText(event.text, bot.userId)
  const hasPicture = (event.files ?? []).length > 0
  const said = {
    by: { id: personId(team, event.user), name: `@${event.user}` },
    place: { platform: 'slack', workspace: team, channel: event.channel, ...thread } as const,
    message: event.ts,
    reply: { channel: event.channel, user: event.user, ...thread },
  }
  return {
    kind: 'delivery',
    marks: marksIn(event.text, bot.userId),
    key: `slack:msg:${team}:${event.channel}:${event.ts}`,
    userId: event.user,
    strangersThread: !addressed && event.parent_user_id !== undefined && event.parent_user_id !== bot.userId,
    // of a file only that it was shown is kept: its name may be the patient's, and it stays where it is
    inbound:
      hasPicture && text === '' && thread.thread !== undefined
        ? { kind: 'picture', ...said }
        : { kind: 'text', text, addressed, hasPicture, ...said },
  }
}
