import type { Form } from '../../src/cards/form.js'
import { adaptiveForm } from '../../src/views/adaptive-form.js'
import { type AskedIn, activityOf, belongingTo, type CardOut } from './teams-message.js'

/**
 * What Teams shows for an invoked dialog: a card over the chat, or a sentence
 * (learn.microsoft.com, use dialogs with bots; botframework-schema, TaskModuleResponse).
 */
export interface DialogAnswer {
  readonly task:
    | {
        readonly type: 'continue'
        readonly value: {
          readonly title: string
          readonly height: 'large'
          readonly width: 'medium'
          readonly card: { readonly contentType: string; readonly content: unknown }
        }
      }
    | { readonly type: 'message'; readonly value: string }
}

/** Teams takes an answer to what it invokes for some seconds only; a form that is not there by then follows as a card. */
export const DIALOG_PATIENCE_MS = 3_000

export const DIALOG_WORDS = {
  taken: 'Sent. The answer comes in your own chat with the bot.',
  follows: 'The form follows in your own chat with the bot.',
  notOpened: 'The form could not be opened. You are told in your own chat with the bot how to type it instead.',
  noLonger:
    'This button no longer works. It belongs to an earlier version, or to a channel that you are not in. Type your answer instead.',
  notNow:
    'It cannot be found out now whether you are in the channel that this belongs to. Nothing was recorded: try again in a minute.',
  notTaken: 'Nothing was recorded yet: what is wrong stands at its field.',
} as const

export const sentence = (value: string): DialogAnswer => ({ task: { type: 'message', value } })

/** @param dialog the press that opened it; @param askedIn where its answers belong when that is not where it is shown */
export function dialogOf(form: Form, dialog: string, askedIn: AskedIn | undefined): DialogAnswer {
  const shown: CardOut = adaptiveForm(form)
  const carried = askedIn === undefined ? shown : belongingTo(shown, askedIn)
  const actions = carried.card.actions?.map((action) => ({ ...action, data: { ...action.data, dialog } }))
  const [card] = activityOf({ ...carried, card: { ...carried.card, ...(actions === undefined ? {} : { actions }) } }).attachments
  if (card === undefined || !('content' in card)) return sentence(DIALOG_WORDS.notOpened)
  return { task: { type: 'continue', value: { title: form.title, height: 'large', width: 'medium', card } } }
}

/**
 * The form with what was written in it and what is wrong beside each field. What may identify a patient is not given back.
 * @param identifying fields whose text is not repeated
 */
export function withFaults(
  form: Form,
  values: Readonly<Record<string, string>>,
  faults: Readonly<Record<string, string>>,
  identifying: readonly string[],
): Form {
  const fields = form.fields.map(({ value: _before, ...field }) => {
    const written = identifying.includes(field.id) ? undefined : values[field.id]
    const fault = faults[field.id]
    return {
      ...field,
      ...(written === undefined || written === '' ? {} : { value: written }),
      ...(fault === undefined ? {} : { hint: `${fault}.` }),
    }
  })
  const elsewhere = Object.entries(faults).flatMap(([id, fault]) =>
    form.fields.some((field) => field.id === id) ? [] : [`${fault}.`],
  )
  return { ...form, intro: [DIALOG_WORDS.notTaken, ...elsewhere].join(' '), fields }
}
