import { z } from 'zod'
import { FORM_IDS, type Form, type FormAbout, type FormField, type FormId } from '../cards/form.js'
import { INPUT_WORDS } from '../cards/words-inputs-en.js'
import { filledIn } from './form-values.js'
import { inertText } from './inert-text.js'
import { TEAMS } from './limits.js'
import { splitText } from './split-text.js'

/** The inputs of schema 1.3: older than what the cards use, so that phones draw them. */
export type FormElement =
  | {
      readonly type: 'TextBlock'
      readonly text: string
      readonly wrap: true
      readonly size?: 'Large' | 'Small'
      readonly weight?: 'Bolder'
      readonly isSubtle?: true
      readonly spacing?: 'None'
    }
  | (InputBase & { readonly type: 'Input.Text'; readonly isMultiline?: true; readonly value?: string })
  | (InputBase & { readonly type: 'Input.Date'; readonly value?: string })
  | (InputBase & {
      readonly type: 'Input.ChoiceSet'
      readonly style: 'compact' | 'expanded'
      readonly isMultiSelect?: true
      readonly wrap: true
      readonly choices: readonly { readonly title: string; readonly value: string }[]
      readonly value?: string
      readonly placeholder?: string
    })

interface InputBase {
  readonly id: string
  readonly label: string
  readonly isRequired?: true
  readonly errorMessage?: string
}

export interface SubmittedForm {
  readonly form: FormId
  readonly about: FormAbout
}

export interface FormCard {
  readonly $schema: string
  readonly type: 'AdaptiveCard'
  readonly version: string
  readonly body: readonly FormElement[]
  /** Whole at the level of the card: nested ones do nothing on some phones (platform reports, 2025). */
  readonly actions: readonly {
    readonly type: 'Action.Submit'
    readonly title: string
    readonly style: 'positive'
    readonly data: { readonly soundingsForm: SubmittedForm }
  }[]
}

type Look = Omit<Extract<FormElement, { type: 'TextBlock' }>, 'type' | 'text' | 'wrap'>

const text = (words: string, look: Look = {}): readonly FormElement[] =>
  splitText(words, TEAMS.piece).map((piece) => ({
    type: 'TextBlock',
    text: inertText(piece).replace(/\n+/g, '\n\n'),
    wrap: true,
    ...look,
  }))

const PREFIX = 'f:'
/** On the way back an answer stands among what the button carries, so it needs a name that nothing else has. */
const inputId = (field: string): string => `${PREFIX}${field}`

function inputOf(field: FormField): FormElement | undefined {
  const base: InputBase = {
    id: inputId(field.id),
    label: field.label,
    ...(field.required ? { isRequired: true, errorMessage: INPUT_WORDS.fillIn(field.label) } : {}),
  }
  const value = field.value === undefined ? {} : { value: field.value }
  const choices = (field.options ?? []).map((option) => ({ title: inertText(option.label), value: option.value }))
  switch (field.kind) {
    case 'line':
    case 'people':
      return { type: 'Input.Text', ...base, ...value }
    case 'text':
      return { type: 'Input.Text', ...base, isMultiline: true, ...value }
    case 'date':
      return { type: 'Input.Date', ...base, ...value }
    case 'choice':
      return field.required && choices.length <= TEAMS.optionsAtOnce
        ? { type: 'Input.ChoiceSet', ...base, style: 'expanded', wrap: true, choices, ...value }
        : {
            type: 'Input.ChoiceSet',
            ...base,
            style: 'compact',
            wrap: true,
            choices,
            placeholder: INPUT_WORDS.notChosen,
            ...value,
          }
    case 'choices':
      return { type: 'Input.ChoiceSet', ...base, style: 'expanded', isMultiSelect: true, wrap: true, choices, ...value }
    case 'channel':
      // Teams has nothing to pick a channel with: the form belongs to where it was opened.
      return undefined
  }
}

/** A field with its hint above it, where it is read before the field is filled in. */
function fieldElements(field: FormField): readonly FormElement[] {
  const input = inputOf(field)
  if (input === undefined) return []
  const hint = field.hint ?? (field.kind === 'people' ? INPUT_WORDS.peopleLine : undefined)
  return hint === undefined ? [input] : [input, ...text(hint, { isSubtle: true, size: 'Small', spacing: 'None' })]
}

const bytes = (value: unknown): number => new TextEncoder().encode(JSON.stringify(value)).length

export interface FormMessage {
  /** A complete sentence for notifications. */
  readonly summary: string
  readonly card: FormCard
}

/**
 * A form as one card: its answers come back together, so it is never split. Required fields have the first claim on the
 * room; an optional one that finds none is named, to be typed.
 */
export function adaptiveForm(form: Form): FormMessage {
  const about: FormAbout = form.about
  const card = (body: readonly FormElement[]): FormCard => ({
    $schema: 'http://adaptivecards.io/schemas/adaptive-card.json',
    type: 'AdaptiveCard',
    version: TEAMS.schemaVersion,
    body,
    actions: [
      { type: 'Action.Submit', title: form.submit, style: 'positive', data: { soundingsForm: { form: form.id, about } } },
    ],
  })
  const head = [...text(form.title, { size: 'Large', weight: 'Bolder' }), ...(form.intro === undefined ? [] : text(form.intro))]
  const size = (elements: readonly FormElement[]): number => elements.reduce((sum, element) => sum + bytes(element) + 1, 0)
  const needed = form.fields.filter(({ required }) => required).flatMap(fieldElements)
  const optional = form.fields.filter(({ required }) => !required)
  const apology = bytes(INPUT_WORDS.leftOut(optional.map(({ label }) => label).join(', '))) + 200
  const room = TEAMS.bytesPerCard - bytes(card([])) - size(head) - size(needed)
  const fitsWhole = size(optional.flatMap(fieldElements)) <= room
  let spare = fitsWhole ? room : room - apology
  const body: FormElement[] = []
  const left: string[] = []
  for (const field of form.fields) {
    const elements = fieldElements(field)
    if (field.required) body.push(...elements)
    else if (size(elements) <= spare) {
      body.push(...elements)
      spare -= size(elements)
    } else left.push(field.label)
  }
  const told = left.length === 0 ? [] : text(INPUT_WORDS.leftOut(left.join(', ')), { isSubtle: true })
  return { summary: `${form.title}.`, card: card([...head, ...body, ...told]) }
}

const submittedSchema = z.looseObject({
  soundingsForm: z.strictObject({
    form: z.enum(FORM_IDS),
    about: z.strictObject({ ref: z.string().optional(), draftId: z.string().optional(), revision: z.number().optional() }),
  }),
})

/** What came back of a form, or undefined where it is none of ours. Values travel as text, several joined by commas. */
export function submittedAnswers(
  value: unknown,
): (SubmittedForm & { readonly values: Readonly<Record<string, string>> }) | undefined {
  const read = submittedSchema.safeParse(value).data
  if (read === undefined) return undefined
  const answers = Object.entries(read).flatMap(([id, answer]): readonly (readonly [string, string])[] =>
    id.startsWith(PREFIX) && typeof answer === 'string' ? [[id.slice(PREFIX.length), answer]] : [],
  )
  const { form, about } = read.soundingsForm
  return { form, about: about as FormAbout, values: filledIn(answers) }
}
