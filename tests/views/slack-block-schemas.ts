import { z } from 'zod'

/**
 * What Slack takes as blocks, for the block types used here, so that a bad block fails in a test as it would there.
 * Source of the limits: Block Kit reference, docs.slack.dev/reference/block-kit/blocks, and the comments of @slack/types 3.2.0.
 * The total of a message is observed, not documented: github.com/slackapi/bolt-js issues 2509 and 2867.
 */
const id = z.string().min(1).max(255)
const plainText = (most: number) =>
  z.strictObject({ type: z.literal('plain_text'), text: z.string().min(1).max(most), emoji: z.boolean().optional() })
const mrkdwn = (most: number) =>
  z.strictObject({ type: z.literal('mrkdwn'), text: z.string().min(1).max(most), verbatim: z.boolean().optional() })
const textObject = z.union([plainText(3000), mrkdwn(3000)])

const button = z.strictObject({
  type: z.literal('button'),
  action_id: id,
  text: plainText(75),
  value: z.string().max(2000).optional(),
  url: z.string().max(3000).optional(),
  style: z.enum(['primary', 'danger']).optional(),
  accessibility_label: z.string().max(75).optional(),
})

const style = z.strictObject({
  bold: z.boolean().optional(),
  italic: z.boolean().optional(),
  strike: z.boolean().optional(),
  code: z.boolean().optional(),
})
const richTextRun = z.strictObject({ type: z.literal('text'), text: z.string().min(1), style: style.optional() })
const richTextUser = z.strictObject({ type: z.literal('user'), user_id: z.string().regex(/^[UW][A-Z0-9]+$/) })
const richTextSection = z.strictObject({
  type: z.literal('rich_text_section'),
  elements: z.array(z.discriminatedUnion('type', [richTextRun, richTextUser])).min(1),
})
const richTextList = z.strictObject({
  type: z.literal('rich_text_list'),
  style: z.enum(['bullet', 'ordered']),
  elements: z.array(richTextSection).min(1),
  indent: z.int().min(0).max(8).optional(),
})
const richTextPreformatted = z.strictObject({
  type: z.literal('rich_text_preformatted'),
  elements: z.array(richTextRun).min(1),
  border: z.int().optional(),
})

const uniqueActionIds = (elements: readonly { readonly action_id: string }[]): boolean =>
  new Set(elements.map((element) => element.action_id)).size === elements.length

const block_id = id.optional()

export const slackBlockSchema = z.discriminatedUnion('type', [
  z.strictObject({ type: z.literal('header'), block_id, text: plainText(150) }),
  z
    .strictObject({
      type: z.literal('section'),
      block_id,
      text: textObject.optional(),
      fields: z
        .array(z.union([plainText(2000), mrkdwn(2000)]))
        .min(1)
        .max(10)
        .optional(),
      accessory: button.optional(),
      expand: z.boolean().optional(),
    })
    .refine((section) => section.text !== undefined || section.fields !== undefined, 'a section needs text or fields'),
  z.strictObject({ type: z.literal('divider'), block_id }),
  z.strictObject({ type: z.literal('context'), block_id, elements: z.array(textObject).min(1).max(10) }),
  z.strictObject({
    type: z.literal('actions'),
    block_id,
    elements: z.array(button).min(1).max(25).refine(uniqueActionIds, 'action_id stands twice'),
  }),
  z.strictObject({
    type: z.literal('image'),
    block_id,
    alt_text: z.string().min(1).max(2000),
    slack_file: z.strictObject({ id: z.string().regex(/^F[A-Z0-9]{8,}$/) }).optional(),
    image_url: z.string().max(3000).optional(),
    title: plainText(2000).optional(),
  }),
  z.strictObject({
    type: z.literal('rich_text'),
    block_id,
    elements: z.array(z.union([richTextSection, richTextList, richTextPreformatted])).min(1),
  }),
])

/** All blocks of one message. */
export const slackBlocksSchema = z
  .array(slackBlockSchema)
  .min(1)
  .max(50)
  .refine((blocks) => {
    const ids = blocks.flatMap((block) => (block.block_id === undefined ? [] : [block.block_id]))
    return new Set(ids).size === ids.length
  }, 'block_id stands twice')
  .refine((blocks) => JSON.stringify(blocks).length <= 13_172, 'msg_blocks_too_long')
