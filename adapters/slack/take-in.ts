import type { BaseLogger } from 'pino'
import type { Place } from '../../src/consult/people.js'
import type { Delivery, Inbound, ReplyHandle } from '../../src/desk/ports.js'
import type { NameBook } from './names.js'
import { translate } from './translate.js'
import type { Bot } from './translation.js'

export interface TakeInParts {
  readonly bot: Bot
  readonly names: NameBook
  /** Judges a delivery for identifiers; what comes back may be stored. */
  readonly receive: (inbound: Inbound, key: string) => Delivery
  /** Stores it durably, once for each key; throws if it is not stored. */
  readonly accept: (delivery: Delivery) => Promise<void>
  /** Whether a consult hangs in this thread. Replies in other people's threads without one are not kept. */
  readonly holdsConsult: (place: Place) => boolean | Promise<boolean>
  readonly logger: Pick<BaseLogger, 'info' | 'warn' | 'error'>
}

/**
 * What is done with Slack's body before Slack is answered. Throws where it could not be stored, so that Slack is not
 * told otherwise. Returns the way to a person whose button is no longer known.
 */
export async function takeIn(parts: TakeInParts, body: unknown): Promise<ReplyHandle | undefined> {
  const said = translate(body, parts.bot)
  if (said.kind === 'nothing') {
    // the everyday talk of a channel would fill the log
    if (said.unread) parts.logger.warn({ chat: 'slack' }, `passed over: ${said.because}`)
    return undefined
  }
  if (said.kind === 'unknown-button') return said.reply
  if (said.strangersThread && !(await parts.holdsConsult(said.inbound.place))) return undefined

  const name = await parts.names.nameOf(said.userId)
  const inbound = name === undefined ? said.inbound : { ...said.inbound, by: { ...said.inbound.by, name } }
  await parts.accept(parts.receive(inbound, said.key))
  return undefined
}
