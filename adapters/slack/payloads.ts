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

/** A message as an edit or a deletion carries it. */
const standing = z.object({
  ts: id,
  thread_ts: id.optional(),
  user: id.optional(),
  bot_id: id.optional(),
  subtype: z.string().optional(),
  text: z.string().default(''),
  edited: z.object({ user: id.optional() }).optional(),
})

/** Somebody changed or deleted a message. A deleted message that others have answered is said to have been changed. */
export const changeEnvelope = z.object({
  type: z.literal('event_callback'),
  team_id: id,
  event: z.discriminatedUnion('subtype', [
    z.object({
      type: z.literal('message'),
      subtype: z.literal('message_changed'),
      channel: id,
      ts: id,
      message: standing,
      previous_message: standing.optional(),
    }),
    z.object({
      type: z.literal('message'),
      subtype: z.literal('message_deleted'),
      channel: id,
      ts: id,
      deleted_ts: id,
      previous_message: standing.optional(),
    }),
  ]),
})
export type ChangeEnvelope = z.infer<typeof changeEnvelope>

/** Somebody looks at the app's own page in Slack. `channel` is their direct messages with the bot. */
export const homeOpened = z.object({
  type: z.literal('event_callback'),
  team_id: id,
  event: z.object({ type: z.literal('app_home_opened'), user: id, channel: id, tab: z.string().optional() }),
})
export type HomeOpened = z.infer<typeof homeOpened>

export const viewSubmission = z.object({
  type: z.literal('view_submission'),
  team,
  user,
  view: z.object({
    id,
    hash: id,
    callback_id: z.string(),
    private_metadata: z.string().max(3_000),
    state: z.object({ values: z.unknown() }),
  }),
})
export type ViewSubmission = z.infer<typeof viewSubmission>

export const blockActions = z.object({
  type: z.literal('block_actions'),
  team,
  user,
  /** Opens a form, for three seconds. */
  trigger_id: id.optional(),
  /** Where the button stands on a Home tab. */
  view: z.object({ type: z.string(), private_metadata: z.string().max(3_000).optional() }).nullish(),
  channel: z.object({ id }).optional(),
  container: z.object({ message_ts: id.optional(), channel_id: id.optional(), thread_ts: id.optional() }),
  message: z.object({ ts: id, thread_ts: id.optional() }).optional(),
  response_url: z.string().optional(),
  actions: z
    .array(z.object({ action_id: id, action_ts: id, type: z.string(), value: z.string().optional(), url: z.string().optional() }))
    .min(1),
})
export type BlockActions = z.infer<typeof blockActions>
