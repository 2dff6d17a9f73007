import { z } from 'zod'

/**
 * The blocks that the cards use, as strict as Slack is with them. Limits: docs.slack.dev/reference/block-kit/blocks and
 * the types that Slack publishes; the limit on all blocks together is undocumented and was observed at about 13,200
 * characters (slackapi/bolt-js issue 2509).
 */
const blockId = z.string().max(255).optional()
const plain = (most: number) =>
  z.strictObject({ type: z.literal('plain_text'), text: z.string().min(1).max(most), emoji: z.boolean().optional() })
const marked = (most: number) =>
  z.strictObject({ type: z.literal('mrkdwn'), text: z.string().min(1).max(most), verbatim: z.boolean().optional() })
const text = (most: number) => z.discriminatedUnion('type', [plain(most), marked(most)])

const button = z.strictObject({
  type: z.literal('button'),
  text: plain(75),
  action_id: z.string().min(1).max(255),
  value: z.string().max(2_000).optional(),
  url: z.string().max(3_000).optional(),
  style: z.enum(['primary', 'danger']).optional(),
  accessibility_label: z.string().max(75).optional(),
  confirm: z
    .strictObject({ title: plain(100), text: text(300), confirm: plain(30), deny: plain(30), style: z.string().optional() })
    .optional(),
})

const block = z.discriminatedUnion('type', [
  z.strictObject({ type: z.literal('header'), block_id: blockId, text: plain(150) }),
  z
    .strictObject({
      type: z.literal('section'),
      block_id: blockId,
      text: text(3_000).optional(),
      fields: z.array(text(2_000)).min(1).max(10).optional(),
      accessory: button.optional(),
      expand: z.boolean().optional(),
    })
    .refine((section) => section.text !== undefined || section.fields !== undefined, 'missing text or fields'),
  z.strictObject({ type: z.literal('context'), block_id: blockId, elements: z.array(text(3_000)).min(1).max(10) }),
  z.strictObject({ type: z.literal('divider'), block_id: blockId }),
  z.strictObject({
    type: z.literal('actions'),
    block_id: blockId,
    elements: z
      .array(button)
      .min(1)
      .max(25)
      .refine((buttons) => new Set(buttons.map((one) => one.action_id)).size === buttons.length, 'action_id used twice'),
  }),
  z.strictObject({
    type: z.literal('image'),
    block_id: blockId,
    image_url: z.string().max(3_000).optional(),
    slack_file: z.strictObject({ id: z.string().regex(/^F[A-Z0-9]{8,}$/) }).optional(),
    alt_text: z.string().max(2_000),
    title: plain(2_000).optional(),
  }),
  z.looseObject({ type: z.literal('rich_text'), block_id: blockId, elements: z.array(z.looseObject({ type: z.string() })) }),
  z.looseObject({
    type: z.literal('table'),
    block_id: blockId,
    rows: z.array(z.array(z.looseObject({ type: z.string() })).max(20)).max(100),
  }),
])

export const MOST_BLOCKS = 50
export const MOST_CHARACTERS = 13_172

/** What Slack would say of these blocks: nothing, or its error with the places it names. */
export function faultIn(blocks: unknown): { readonly error: string; readonly messages: readonly string[] } | undefined {
  const parsed = z.array(block).max(MOST_BLOCKS).safeParse(blocks)
  if (!parsed.success)
    return {
      error: 'invalid_blocks',
      messages: parsed.error.issues.map((issue) => `[ERROR] ${issue.message} [json-pointer:/blocks/${issue.path.join('/')}]`),
    }
  if (JSON.stringify(blocks).length > MOST_CHARACTERS) return { error: 'msg_blocks_too_long', messages: [] }
  return undefined
}
