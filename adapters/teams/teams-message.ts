import type { Card } from '../../src/cards/card.js'
import { adaptiveMessages } from '../../src/views/adaptive-card.js'
import type { OutgoingActivity } from './bot-service.js'

const CARD_TYPE = 'application/vnd.microsoft.card.adaptive'

export const activityOf = ({ summary, card }: { readonly summary: string; readonly card: unknown }): OutgoingActivity => ({
  type: 'message',
  summary,
  attachments: [{ contentType: CARD_TYPE, content: card }],
})

/** A message whose card goes out, whatever is on it. */
export interface CardOut {
  readonly summary: string
  readonly card: { readonly actions?: readonly { readonly data: object }[] }
}

/** Its buttons carry the place back, so that pressing one acts there. */
export const belongingTo = <Message extends CardOut>(message: Message, askedIn: AskedIn): CardOut => ({
  ...message,
  card: {
    ...message.card,
    ...(message.card.actions === undefined
      ? {}
      : { actions: message.card.actions.map((action) => ({ ...action, data: { ...action.data, askedIn } })) }),
  },
})

/** Where an answer was asked for that is given in the personal chat. */
export interface AskedIn {
  readonly channel: string
  readonly thread?: string
}

const ASKED_ELSEWHERE =
  'This answers what you wrote in a channel or group chat. Send corrections there, naming the bot; other people do not see this.'

/**
 * The messages of an answer given in the personal chat although it was asked for elsewhere; it says where to write.
 */
export function redirectedMessages(card: Card, askedIn: AskedIn): readonly CardOut[] {
  const footer = card.footer === '' ? ASKED_ELSEWHERE : `${ASKED_ELSEWHERE} ${card.footer}`
  return adaptiveMessages({ ...card, footer }).map((message) => belongingTo(message, askedIn))
}
