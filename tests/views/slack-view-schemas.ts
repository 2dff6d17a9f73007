import { z } from 'zod'
import { slackBlockSchema } from './slack-block-schemas.js'

/**
 * What Slack takes as a modal or a Home tab, for what is used here. Source: Block Kit reference and docs.slack.dev/reference/views,
 * and the comments of @slack/types 3.2.0 (read 2026-11-24).
 */
const id = z.string().min(1).max(255)
const plain = (most: number) =>
  z.strictObject({ type: z.literal('plain_text'), text: z.string().min(1).max(most), emoji: z.boolean().optional() })
const option = z.strictObject({ text: plain(75), value: z.string().min(1).max(75), description: plain(75).optional() })
const options = (most: number) =>
  z
    .array(option)
    .min(1)
    .max(most)
    .refine((all) => new Set(all.map(({ value }) => value)).size === all.length, 'a value stands twice')
const day = z.string().regex(/^\d{4}-\d{2}-\d{2}$/)
const user = z.string().regex(/^[UW][A-Z0-9]+$/)

const among = (choice: {
  readonly options: readonly unknown[]
  readonly initial_option?: unknown
  readonly initial_options?: readonly unknown[] | undefined
}): boolean =>
  [...(choice.initial_options ?? []), ...(choice.initial_option === undefined ? [] : [choice.initial_option])].every((initial) =>
    choice.options.some((one) => JSON.stringify(one) === JSON.stringify(initial)),
  )
const NOT_AMONG = 'what is chosen at first is not among the options'

const element = z.discriminatedUnion('type', [
  z.strictObject({
    type: z.literal('plain_text_input'),
    action_id: id,
    multiline: z.boolean().optional(),
    max_length: z.int().min(1).max(3000).optional(),
    initial_value: z.string().max(3000).optional(),
  }),
  z
    .strictObject({ type: z.literal('checkboxes'), action_id: id, options: options(10), initial_options: options(10).optional() })
    .refine(among, NOT_AMONG),
  z
    .strictObject({ type: z.literal('radio_buttons'), action_id: id, options: options(10), initial_option: option.optional() })
    .refine(among, NOT_AMONG),
  z
    .strictObject({ type: z.literal('static_select'), action_id: id, options: options(100), initial_option: option.optional() })
    .refine(among, NOT_AMONG),
  z
    .strictObject({
      type: z.literal('multi_static_select'),
      action_id: id,
      options: options(100),
      initial_options: options(100).optional(),
    })
    .refine(among, NOT_AMONG),
  z.strictObject({ type: z.literal('datepicker'), action_id: id, initial_date: day.optional() }),
  z.strictObject({ type: z.literal('multi_users_select'), action_id: id, initial_users: z.array(user).min(1).optional() }),
  z.strictObject({
    type: z.literal('conversations_select'),
    action_id: id,
    filter: z.strictObject({
      include: z.array(z.enum(['public', 'private', 'im', 'mpim'])).min(1),
      exclude_bot_users: z.boolean(),
    }),
    initial_conversation: z
      .string()
      .regex(/^[CDG]/)
      .optional(),
  }),
])

const inputBlock = z.strictObject({
  type: z.literal('input'),
  block_id: id,
  optional: z.boolean().optional(),
  label: plain(2000),
  hint: plain(2000).optional(),
  element,
})

const blocks = z
  .array(z.union([inputBlock, slackBlockSchema]))
  .min(1)
  .max(100)
  .refine((all) => {
    const ids = all.flatMap((block) => (block.block_id === undefined ? [] : [block.block_id]))
    return new Set(ids).size === ids.length
  }, 'block_id stands twice')

export const modalSchema = z
  .strictObject({
    type: z.literal('modal'),
    callback_id: id.optional(),
    private_metadata: z.string().max(3000).optional(),
    title: plain(24),
    submit: plain(24).optional(),
    close: plain(24).optional(),
    blocks,
  })
  .refine((view) => view.submit !== undefined || !view.blocks.some(({ type }) => type === 'input'), 'inputs need a submit')

export const homeSchema = z.strictObject({
  type: z.literal('home'),
  private_metadata: z.string().max(3000).optional(),
  blocks: z.array(slackBlockSchema).min(1).max(100),
})
