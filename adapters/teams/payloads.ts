import { z } from 'zod'

/**
 * The parts of a Bot Framework activity that are read here. Everything else in it is left aside and never stored.
 * Teams adds fields freely, so unknown ones are no fault.
 */
const id = z.string().min(1).max(1_000)

const account = z.object({ id, name: z.string().optional(), aadObjectId: id.optional(), role: z.string().optional() })

const conversation = z.object({
  id,
  conversationType: z.string().optional(),
  tenantId: id.optional(),
})

const channelData = z
  .object({
    tenant: z.object({ id }).nullish(),
    team: z.object({ id: id.optional() }).nullish(),
    /** `type`: standard, shared or private. */
    channel: z.object({ type: z.string().optional() }).nullish(),
  })
  .nullish()

/** What every delivery must have, of whatever kind, before anything is done with it. */
export const activityEnvelope = z.object({
  type: z.string().min(1).max(100),
  id,
  channelId: z.literal('msteams'),
  serviceUrl: z.url({ protocol: /^https?$/ }).max(1_000),
  from: account,
  recipient: account,
  conversation,
  channelData,
})
export type ActivityEnvelope = z.infer<typeof activityEnvelope>

const attachments = z
  .array(z.object({ contentType: z.string(), content: z.unknown().optional() }))
  .nullish()
  .transform((some) => some ?? [])

const entities = z
  .array(z.unknown())
  .nullish()
  .transform((some) => (some ?? []).flatMap((one) => mention.safeParse(one).data ?? []))

const mention = z.object({
  type: z.literal('mention'),
  /** `type`: `tag` for a tag of a team (from memory of the platform's pages, not seen in a delivery); people have none. */
  mentioned: z.object({ id, name: z.string().optional(), type: z.string().optional() }),
  text: z.string().nullish(),
})

export const messageActivity = activityEnvelope.extend({
  type: z.literal('message'),
  text: z
    .string()
    .nullish()
    .transform((text) => text ?? ''),
  replyToId: id.nullish(),
  /** What a pressed button carries. */
  value: z.unknown().optional(),
  attachments,
  entities,
})
export type MessageActivity = z.infer<typeof messageActivity>

/** A message that was edited, deleted or brought back. Of a deleted one nothing of what it said is sent. */
export const changeActivity = activityEnvelope.extend({
  type: z.enum(['messageUpdate', 'messageDelete']),
  /** When it was changed; the same in a second copy of this delivery. */
  timestamp: z.string().min(1).max(100),
  text: z
    .string()
    .nullish()
    .transform((text) => text ?? ''),
  attachments,
  entities,
})
export type ChangeActivity = z.infer<typeof changeActivity>

export const membersActivity = activityEnvelope.extend({
  type: z.literal('conversationUpdate'),
  membersAdded: z.array(account).nullish(),
})

/** A dialog that is wanted, or its answers. `data`: what the button carries, with the answers among it. */
export const invokeActivity = activityEnvelope.extend({
  type: z.literal('invoke'),
  name: z.string().max(100),
  replyToId: id.nullish(),
  value: z.object({ data: z.unknown() }),
})
export type InvokeActivity = z.infer<typeof invokeActivity>

/** What a button of ours carries; see `adaptive-card.ts` and `teams-message.ts`. A person’s client may send anything. */
export const submitted = z.object({
  soundings: z.unknown().optional(),
  sentence: z.string().optional(),
  /** The press that opened the dialog: its answers are those of one card. */
  dialog: id.optional(),
  /** Where the answer that held the button had been asked for, if that was not in the personal chat. */
  askedIn: z.object({ channel: id, thread: id.optional() }).optional(),
})
