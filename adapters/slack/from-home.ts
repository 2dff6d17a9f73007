import { z } from 'zod'
import type { BlockActions, HomeOpened } from './payloads.js'
import { nothing, personId, type Translation } from './translation.js'

/** Somebody looks at the app's page in Slack. Its other tab, the messages, is not drawn by us. */
export function fromHome({ team_id: team, event }: HomeOpened): Translation {
  if (event.tab !== undefined && event.tab !== 'home') return nothing('the messages with the bot, which Slack shows itself')
  return {
    kind: 'home',
    by: { id: personId(team, event.user), name: `@${event.user}` },
    place: { platform: 'slack', workspace: team, channel: event.channel },
    userId: event.user,
  }
}

const carried = z.object({ channel: z.string().min(1).max(255) })

/** A Home tab stands in no channel: what is pressed there is answered in the direct messages that it carries along. */
export function channelOfHome(view: BlockActions['view']): string | undefined {
  if (view?.type !== 'home') return undefined
  try {
    return carried.safeParse(JSON.parse(view.private_metadata ?? '')).data?.channel
  } catch {
    return undefined
  }
}
