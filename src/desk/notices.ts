import { noteCard } from '../cards/short-cards.js'
import type { Inbound, Outbound } from './ports.js'
import { isAddressed } from './receive.js'
import { answerWith } from './replies.js'

type Tell = NonNullable<Extract<Outbound, { kind: 'consult-card' }>['tell']>

/**
 * What somebody who spoke to the bot is told when handling their message failed inside.
 * Undefined for talk that was only overheard: nobody waits for an answer to it.
 */
export function failureNotice(inbound: Inbound, errorRef: string, triesAgain: boolean): Outbound | undefined {
  if (!isAddressed(inbound)) return undefined
  const next = triesAgain
    ? 'It is kept and tried again by itself; there is no need to send it again'
    : 'It is kept, but is not tried again by itself. Tell whoever runs Soundings here, with that reference'
  return answerWith(
    inbound,
    noteCard(`Your message could not be handled because of an error here (reference ${errorRef}). ${next}`),
  )
}

/** The card may or may not stand in its channel, and only a person can tell. */
export const possiblyPostedNotice = (tell: Tell, ref: string, because: string): Outbound =>
  telling(tell, `${ref} was possibly posted: ${because}. Look in the channel. Only if it is not there, write: post again ${ref}`)

export const notPostedNotice = (tell: Tell, ref: string, because: string): Outbound =>
  telling(tell, `${ref} was not posted: ${because}. It is kept. When that is put right, write: post again ${ref}`)

export const notUpdatedNotice = (tell: Tell, ref: string, because: string): Outbound =>
  telling(
    tell,
    `The card of ${ref} can no longer be brought up to date: ${because}. The consult is kept. To put its card there anew, write: post again ${ref}`,
  )

const telling = (tell: Tell, sentence: string): Outbound => ({ kind: 'answer', ...tell, card: noteCard(sentence) })
