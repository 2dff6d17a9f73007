import type { MessageShortcut } from './payloads.js'
import { marksIn, plainText } from './plain-text.js'
import { type Bot, nothing, personId, type Translation, threadOf } from './translation.js'

/** The `callback_id` of "Ask about this case" in the app's manifest. */
export const ASK_SHORTCUT = 'ask_about_this_case'

/** "Ask about this case" on somebody's message: its text is read as if the person who chose it had sent it to the bot. */
export function fromShortcut(shortcut: MessageShortcut, bot: Bot): Translation {
  if (shortcut.callback_id !== ASK_SHORTCUT) return nothing('a shortcut that is not ours')
  const team = shortcut.team?.id ?? shortcut.user.team_id
  if (team === undefined) return nothing('a shortcut without a workspace')
  const { channel, user, message, message_ts: ts } = shortcut
  const thread = threadOf(message.thread_ts, ts)
  return {
    kind: 'delivery',
    marks: marksIn(message.text, bot.userId),
    key: `slack:shortcut:${team}:${channel.id}:${ts}:${user.id}:${shortcut.action_ts}`,
    userId: user.id,
    strangersThread: false,
    inbound: {
      kind: 'text',
      text: plainText(message.text, bot.userId),
      by: { id: personId(team, user.id), name: user.name || user.username || `@${user.id}` },
      place: { platform: 'slack', workspace: team, channel: channel.id, ...thread },
      addressed: true,
      hasPicture: (message.files ?? []).length > 0,
      reply: {
        channel: channel.id,
        user: user.id,
        ...thread,
        ...(shortcut.response_url ? { responseUrl: shortcut.response_url } : {}),
      },
    },
  }
}
