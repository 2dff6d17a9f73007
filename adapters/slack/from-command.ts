import type { SlashCommand } from './payloads.js'
import { marksIn, plainText } from './plain-text.js'
import { type Bot, personId, type Translation } from './translation.js'

/** `/soundings …`: the text may be a whole case over many lines, a command word, or nothing. */
export function fromCommand(command: SlashCommand, bot: Bot): Translation {
  const { team_id: team, channel_id: channel, user_id: user } = command
  return {
    kind: 'delivery',
    marks: marksIn(command.text, bot.userId),
    key: `slack:command:${team}:${command.trigger_id}`,
    userId: user,
    strangersThread: false,
    inbound: {
      kind: 'text',
      text: plainText(command.text, bot.userId),
      by: { id: personId(team, user), name: command.user_name || `@${user}` },
      place: { platform: 'slack', workspace: team, channel },
      addressed: true,
      hasPicture: false,
      reply: { channel, user, ...(command.response_url ? { responseUrl: command.response_url } : {}) },
    },
  }
}
