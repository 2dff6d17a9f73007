// Types only: nothing of the package is loaded at run time.
import type { InputBlock, KnownBlock, ModalView, PlainTextElement, PlainTextOption } from '@slack/types'
import { z } from 'zod'
import { FORM_IDS, type Form, type FormField } from '../cards/form.js'
import { INPUT_WORDS } from '../cards/words-inputs-en.js'
import { filledIn, severalIn } from './form-values.js'
import { withoutMentions } from './inert-text.js'
import { SLACK } from './limits.js'
import { splitText } from './split-text.js'

export const FORM_CALLBACK = 'soundings_form'

/** What a modal carries along unseen: which form, about what, and where its answers belong. Slack's ids and ours, nothing typed. */
const carriedSchema = z.strictObject({
  form: z.enum(FORM_IDS),
  about: z.strictObject({ ref: z.string().optional(), draftId: z.string().optional(), revision: z.number().optional() }),
  channel: z.string().min(1),
  thread: z.string().optional(),
})
export type Carried = z.infer<typeof carriedSchema>

export const readCarried = (metadata: string): Carried | undefined => {
  try {
    return carriedSchema.safeParse(JSON.parse(metadata)).data
  } catch {
    return undefined
  }
}

const plain = (text: string): PlainTextElement => ({ type: 'plain_text', text: withoutMentions(text), emoji: false })

const ACTION = 'answer'
/** A field may need several inputs: `f:text`, `f:text~2`; a block id of Slack's holds 255 characters, the longest field id 120. */
const blockId = (field: string, part = 1): string => `f:${field}${part === 1 ? '' : `~${part}`}`

const fieldOf = (block: string): { readonly field: string; readonly part: number } | undefined => {
  const found = /^f:(?<field>.+?)(?:~(?<part>\d+))?$/u.exec(block)?.groups
  return found?.['field'] === undefined ? undefined : { field: found['field'], part: Number(found['part'] ?? 1) }
}

type Element = InputBlock['element']

const input = (field: FormField, element: Element, part = 1, label = field.label): InputBlock => ({
  type: 'input',
  block_id: blockId(field.id, part),
  optional: !field.required || part > 1,
  label: plain(label),
  element,
  ...(field.hint === undefined || part > 1 ? {} : { hint: plain(field.hint) }),
})

/** What is longer than one input takes goes on in further ones, whole. */
function textInputs(field: FormField): readonly InputBlock[] {
  const pieces = field.value === undefined ? [undefined] : textPieces(field.value)
  return pieces.map((piece, index) =>
    input(
      field,
      {
        type: 'plain_text_input',
        action_id: ACTION,
        multiline: field.kind === 'text',
        max_length: SLACK.inputText,
        ...(piece === undefined ? {} : { initial_value: piece }),
      },
      index + 1,
      index === 0 ? field.label : INPUT_WORDS.continued(field.label),
    ),
  )
}

/** Broken between lines where there are lines; the pieces are put together again with a line break. */
function textPieces(text: string): readonly (string | undefined)[] {
  const pieces: string[] = []
  for (const line of text
    .split('\n')
    .flatMap((one) => (one.length > SLACK.inputText ? splitText(one, SLACK.inputText) : [one]))) {
    const last = pieces.at(-1)
    if (last !== undefined && last.length + 1 + line.length <= SLACK.inputText) pieces[pieces.length - 1] = `${last}\n${line}`
    else pieces.push(line)
  }
  return pieces.length === 0 ? [undefined] : pieces
}

/** What a label is too short for goes on in the line under it. */
function optionOf({ value, label }: { readonly value: string; readonly label: string }): PlainTextOption {
  const [text = '', ...rest] = splitText(label, SLACK.optionText)
  const more = rest.join(' ')
  const described = more.length > SLACK.optionText ? `${more.slice(0, SLACK.optionText - 1)}…` : more
  return { text: plain(text), value, ...(described === '' ? {} : { description: plain(described) }) }
}

function choiceInput(field: FormField): InputBlock {
  const options = (field.options ?? []).slice(0, SLACK.optionsInMenu).map(optionOf)
  const chosen = field.kind === 'choices' ? severalIn(field.value) : field.value === undefined ? [] : [field.value]
  const initial = options.filter(({ value }) => value !== undefined && chosen.includes(value))
  const [first] = initial
  if (field.kind === 'choices') {
    const several = initial.length === 0 ? {} : { initial_options: initial }
    return input(
      field,
      options.length <= SLACK.optionsShown
        ? { type: 'checkboxes', action_id: ACTION, options, ...several }
        : { type: 'multi_static_select', action_id: ACTION, options, ...several },
    )
  }
  const one = first === undefined ? {} : { initial_option: first }
  // a radio button cannot be taken back, an answer that may stay empty must be
  return input(
    field,
    field.required && options.length <= SLACK.optionsAtOnce
      ? { type: 'radio_buttons', action_id: ACTION, options, ...one }
      : { type: 'static_select', action_id: ACTION, options, ...one },
  )
}

const USER_ID = /^(?:slack:[^:]+:)?(?<user>[UW][A-Z0-9]{2,})$/

/** People picked from the workspace, and a line for a group or a name that is not in it. */
function peopleInputs(field: FormField): readonly InputBlock[] {
  const named = severalIn(field.value)
  const users = named.flatMap((one) => USER_ID.exec(one)?.groups?.['user'] ?? [])
  const others = named.filter((one) => !USER_ID.test(one)).join(', ')
  return [
    input(field, {
      type: 'multi_users_select',
      action_id: ACTION,
      ...(users.length === 0 ? {} : { initial_users: users }),
    }),
    input(
      field,
      {
        type: 'plain_text_input',
        action_id: ACTION,
        max_length: SLACK.inputText,
        ...(others === '' ? {} : { initial_value: others }),
      },
      2,
      INPUT_WORDS.furtherNames(field.label),
    ),
  ]
}

function inputsOf(field: FormField): readonly InputBlock[] {
  switch (field.kind) {
    case 'line':
    case 'text':
      return textInputs(field)
    case 'choice':
    case 'choices':
      return [choiceInput(field)]
    case 'date':
      return [
        input(field, {
          type: 'datepicker',
          action_id: ACTION,
          ...(field.value === undefined ? {} : { initial_date: field.value }),
        }),
      ]
    case 'people':
      return peopleInputs(field)
    case 'channel':
      return [
        input(field, {
          type: 'conversations_select',
          action_id: ACTION,
          filter: { include: ['public', 'private'], exclude_bot_users: true },
          ...(field.value !== undefined && /^[CG]/.test(field.value) ? { initial_conversation: field.value } : {}),
        }),
      ]
  }
}

const introBlocks = (intro: string): readonly KnownBlock[] =>
  splitText(intro, SLACK.textObject).map((text): KnownBlock => ({ type: 'section', text: plain(text) }))

/** A form as a modal. Required fields are never among those that a modal has no room for; what is left out is named. */
export function slackModal(form: Form, where: { readonly channel: string; readonly thread?: string }): ModalView {
  const intro = form.intro === undefined ? [] : introBlocks(form.intro)
  const room = SLACK.blocksPerModal - intro.length - 1
  const blocks: KnownBlock[] = []
  const left: string[] = []
  const required = form.fields.filter((field) => field.required).flatMap(inputsOf).length
  let spare = room - required
  for (const field of form.fields) {
    const inputs = inputsOf(field)
    if (!field.required && inputs.length > spare) left.push(field.label)
    else {
      blocks.push(...inputs)
      if (!field.required) spare -= inputs.length
    }
  }
  const carried: Carried = { form: form.id, about: { ...form.about }, ...where }
  return {
    type: 'modal',
    callback_id: FORM_CALLBACK,
    private_metadata: JSON.stringify(carried),
    title: plain(form.title),
    submit: plain(form.submit),
    close: plain(INPUT_WORDS.cancel),
    blocks: [...intro, ...blocks, ...(left.length === 0 ? [] : introBlocks(INPUT_WORDS.leftOut(left.join(', '))))],
  }
}

/** A modal without inputs: shown while a form is read, or where there is none. */
export const slackNotice = (title: string, text: string): ModalView => ({
  type: 'modal',
  title: plain(title),
  close: plain(INPUT_WORDS.close),
  blocks: [...introBlocks(text)],
})

const chosen = z.object({ value: z.string() })
const answerSchema = z.object({
  value: z.string().nullish(),
  selected_option: chosen.nullish(),
  selected_options: z.array(chosen).nullish(),
  selected_date: z.string().nullish(),
  selected_users: z.array(z.string()).nullish(),
  selected_conversation: z.string().nullish(),
})
const stateSchema = z.record(z.string(), z.object({ [ACTION]: answerSchema }).partial())

export interface ModalAnswers {
  readonly values: Readonly<Record<string, string>>
  /** Slack's ids of the people picked, by field. */
  readonly picked: Readonly<Record<string, readonly string[]>>
}

/** The answers as Slack gives them back, by field id; people who were picked apart from what was typed. */
export function modalAnswers(state: unknown): ModalAnswers | undefined {
  const read = stateSchema.safeParse(state).data
  if (read === undefined) return undefined
  const parts = Object.entries(read).flatMap(([block, { [ACTION]: answer }]) => {
    const named = fieldOf(block)
    return named === undefined || answer === undefined ? [] : [{ ...named, answer }]
  })
  const values = new Map<string, string>()
  const picked: Record<string, readonly string[]> = {}
  for (const { field, answer } of parts.toSorted((one, other) => one.part - other.part)) {
    const users = answer.selected_users
    if (users && users.length > 0) picked[field] = users
    const said =
      answer.value ??
      answer.selected_option?.value ??
      answer.selected_options?.map(({ value }) => value).join(',') ??
      answer.selected_date ??
      answer.selected_conversation ??
      ''
    const before = values.get(field)
    values.set(field, before === undefined || before === '' ? said : `${before}\n${said}`)
  }
  return { values: filledIn([...values]), picked }
}

/** Where what is wrong with a field is said. */
export const faultsByBlock = (faults: Readonly<Record<string, string>>): Readonly<Record<string, string>> =>
  Object.fromEntries(Object.entries(faults).map(([field, fault]) => [blockId(field), fault]))
