import { readChoiceAction } from '../../src/cards/choice-action.js'
import { channelOfHome } from './from-home.js'
import type { BlockActions } from './payloads.js'
import { nothing, personId, type Translation, threadOf } from './translation.js'

/** A pressed button. Its value says what it does; a value that is not understood is answered, never passed over. */
export function fromAction(body: BlockActions): Translation {
  const [action] = body.actions
  const team = body.team?.id ?? body.user.team_id
  const channel = body.channel?.id ?? body.container.channel_id ?? channelOfHome(body.view)
  if (action === undefined || team === undefined || channel === undefined) return nothing('a button outside a message')
  if (action.value === undefined && action.url !== undefined) return nothing('a link button, which Slack only reports')

  const ts = body.message?.ts ?? body.container.message_ts
  const thread = threadOf(body.message?.thread_ts ?? body.container.thread_ts, ts)
  const does = readChoiceAction(action.value)
  const reply = {
    channel,
    user: body.user.id,
    ...thread,
    ...(body.response_url ? { responseUrl: body.response_url } : {}),
    // a preview that has been posted or cancelled makes room for the answer, so that its buttons are not pressed again
    ...(does?.action === 'post-draft' || does?.action === 'cancel-draft' ? { replaces: 'preview' } : {}),
  }
  if (does === undefined) return { kind: 'unknown-button', userId: body.user.id, reply }

  const key = `slack:action:${team}:${channel}:${ts ?? 'none'}:${body.user.id}:${action.action_id}:${action.action_ts}`
  const inbound = {
    kind: 'choice',
    does,
    by: { id: personId(team, body.user.id), name: body.user.name || body.user.username || `@${body.user.id}` },
    place: { platform: 'slack', workspace: team, channel, ...thread },
    reply,
  } as const
  const userId = body.user.id
  if (does.action === 'open-form' && body.trigger_id !== undefined)
    return { kind: 'open-form', key, inbound, does, triggerId: body.trigger_id, userId }
  return { kind: 'delivery', key, userId, strangersThread: false, inbound }
}
