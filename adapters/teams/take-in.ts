import type { BaseLogger } from 'pino'
import type { Place } from '../../src/consult/people.js'
import { formFaults } from '../../src/desk/form-values.js'
import { identifierFaults } from '../../src/desk/identifier-faults.js'
import type { Delivery, Inbound, ReplyHandle } from '../../src/desk/ports.js'
import type { Conversation } from '../../src/desk/store.js'
import { type PressedPreviews, previewPressed } from './answer.js'
import type { ConversationBook } from './conversations.js'
import type { ActivityEnvelope } from './payloads.js'
import type { TeamsRooms } from './rooms.js'
import { translate } from './translate.js'
import type { Translation } from './translation.js'

export interface TakeInParts {
  readonly conversations: ConversationBook
  readonly previews: PressedPreviews
  readonly rooms: Pick<TeamsRooms, 'heard' | 'isMember'>
  /** Judges a delivery for identifiers; what comes back may be stored. */
  readonly receive: (inbound: Inbound, key: string) => Delivery
  /** Stores it durably, once for each key; throws if it is not stored. */
  readonly accept: (delivery: Delivery) => Promise<void>
  /** Whether a consult hangs in this thread. Replies in other people's threads without one are not kept. */
  readonly holdsConsult: (place: Place) => boolean | Promise<boolean>
  readonly logger: Pick<BaseLogger, 'info' | 'warn' | 'error'>
}

/** What is owed at once, without a record: an answer about a dead button, a welcome, or a form. */
export type Owed =
  /** `key` and `inbound`: the delivery that is kept where the form cannot be shown. */
  | { readonly owed: 'form'; readonly wanted: Extract<Translation, { kind: 'open-form' }> }
  /** `not-now`: Teams does not say whether its presser is in the channel that a button carries along. */
  | { readonly owed: 'unknown-button' | 'not-now'; readonly reply: ReplyHandle }
  | { readonly owed: 'welcome'; readonly conversation: Conversation }
  /** A dialog was sent and what it says is kept. */
  | { readonly owed: 'dialog-taken' }
  /** A dialog was sent and nothing of it is kept; what is wrong, by field, and which fields may identify a patient. */
  | {
      readonly owed: 'dialog-faults'
      readonly inbound: Extract<Inbound, { kind: 'form' }>
      readonly dialog: string
      readonly faults: Readonly<Record<string, string>>
      readonly identifying: readonly string[]
    }

/** What is done with an activity before Teams is answered. Throws where it could not be stored, so that Teams is not told otherwise. */
export async function takeIn(
  parts: TakeInParts,
  body: unknown,
  envelope: ActivityEnvelope,
  tenant: string,
): Promise<Owed | undefined> {
  parts.rooms.heard(envelope)
  const said = translate(body, envelope, tenant)
  if ((said.kind === 'delivery' || said.kind === 'open-form') && said.claimed === true) {
    // a button carries its channel along, and whoever presses it may have altered that: none opens a channel to a stranger
    const { by, place, reply } = said.inbound
    const isIn = await parts.rooms.isMember(by.id, place)
    if (isIn !== true) return { owed: isIn === undefined ? 'not-now' : 'unknown-button', reply }
  }
  switch (said.kind) {
    case 'nothing':
      // the everyday talk of a channel would fill the log
      if (said.unread) parts.logger.warn({ chat: 'teams' }, `passed over: ${said.because}`)
      return undefined
    case 'unknown-button':
      await parts.conversations.remember(said.conversation)
      return { owed: 'unknown-button', reply: said.reply }
    case 'open-form':
      await parts.conversations.remember(said.conversation)
      return { owed: 'form', wanted: said }
    case 'welcome': {
      const known = await parts.conversations.remember(said.conversation)
      return known ? undefined : { owed: 'welcome', conversation: said.conversation }
    }
    case 'delivery': {
      if (said.dialog !== undefined && said.inbound.kind === 'form') return takeDialog(parts, said, said.inbound, said.dialog)
      if (said.strangersThread && !(await parts.holdsConsult(said.inbound.place))) return undefined
      // first, so that whatever is kept can also be answered
      await parts.conversations.remember(said.conversation)
      previewPressed(parts.previews, said.inbound.reply)
      await parts.accept(parts.receive(said.inbound, said.key))
      return undefined
    }
  }
}

/** What is wrong with single answers is said in the dialog itself, where it can be mended; everything else by the desk. */
async function takeDialog(
  parts: TakeInParts,
  { key, conversation }: Extract<Translation, { kind: 'delivery' }>,
  inbound: Extract<Inbound, { kind: 'form' }>,
  dialog: string,
): Promise<Owed> {
  const identifies = identifierFaults(inbound, parts.receive)
  const faults = { ...formFaults(inbound.form, inbound.values), ...identifies }
  if (Object.keys(faults).length > 0)
    return { owed: 'dialog-faults', inbound, dialog, faults, identifying: Object.keys(identifies) }
  await parts.conversations.remember(conversation)
  await parts.accept(parts.receive(inbound, key))
  return { owed: 'dialog-taken' }
}
