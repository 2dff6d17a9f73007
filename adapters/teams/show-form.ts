import type { BaseLogger } from 'pino'
import type { Form } from '../../src/cards/form.js'
import { adaptiveForm } from '../../src/views/adaptive-form.js'
import { type AnswerParts, tellPerson } from './answer.js'
import { belongingTo } from './teams-message.js'
import type { Translation } from './translation.js'

export type WantedForm = Extract<Translation, { kind: 'open-form' }>

/**
 * A form as a card in the person's own chat with the bot, where nobody else sees what they write. It is sent once.
 * @returns whether the person has it, or was told how to get it
 */
export async function showForm(
  parts: AnswerParts & { readonly logger: Pick<BaseLogger, 'warn'> },
  { does, inbound }: WantedForm,
  formFor: () => Promise<Form | undefined>,
): Promise<boolean> {
  try {
    const form = await formFor()
    if (form === undefined) return false
    const message = adaptiveForm(form)
    const outcome = await tellPerson(parts, inbound, (askedIn) => [
      askedIn === undefined ? message : belongingTo(message, askedIn),
    ])
    // where the chat is closed, the person was told how to open it
    return outcome.outcome === 'sent' || outcome.outcome === 'refused'
  } catch (fault) {
    parts.logger.warn(
      { chat: 'teams', form: does.form },
      `a form could not be shown: ${fault instanceof Error ? fault.name : 'fault'}`,
    )
    return false
  }
}
