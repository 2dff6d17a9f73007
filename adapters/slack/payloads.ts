import { z } from 'zod'

/**
 * The parts of Slack's payloads that are read here. Everything else in them is left aside and never stored.
 * Slack adds fields freely, so unknown ones are no fault.
 */
const id = z.string().min(1).max(255)

const files = z.array(z.unknown()).optional()

export const messageEnvelope = z.object({
  type: z.literal('event_callback'),
  team_id: id,
  event: z.object({
    type: z.enum(['message', 'app_mention']),
    subtype: z.string().optional(),
    user: id.optional(),
    bot_id: id.optional(),
    text: z.string().default(''),
    ts: id,
    channel: id,
    channel_type: z.string().optional(),
    thread_ts: id.optional(),
    parent_user_id: id.optional(),
    files,
  }),
})
export type MessageEnvelope = z.infer<typeof messageEnvelope>

export const slashCommand = z.object({
  command: z.string().startsWith('/'),
  text: z.string().default(''),
  team_id: id,
  channel_id: id,
  user_id: id,
  user_name: z.string().optional(),
  trigger_id: id,
  response_url: z.string().optional(),
})
export type SlashCommand = z.infer<typeof slashCommand>

const user = z.object({ id, name: z.string().optional(), username: z.string().optional(), team_id: id.optional() })
const team = z.object({ id }).nullish()

export const messageShortcut = z.object({
  type: z.literal('message_action'),
  callback_id: z.string(),
  team,
  user,
  channel: z.object({ id }),
  message_ts: id,
  action_ts: id,
  response_url: z.string().optional(),
  message: z.object({ text: z.string().default(''), thread_ts: id.optional(), files }),
})
export type MessageShortcut = z.infer<typeof messageShortcut>

export const blockActions = z.object({
  type: z.literal('block_actions'),
  team,
  user,
  channel: z.object({ id }).optional(),
  container: z.object({ message_ts: id.optional(), channel_id: id.optional(), thread_ts: id.optional() }),
  message: z.object({ ts: id, thread_ts: id.optional() }).optional(),
  response_url: z.string().optional(),
  actions: z
    .array(z.object({ action_id: id, action_ts: id, type: z.string(), value: z.string().optional(), url: z.string().optional() }))
    .min(1),
})
export type BlockActions = z.infer<typeof blockActions>
