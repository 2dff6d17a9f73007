import { z } from 'zod'
import type { Outbound, ReplyHandle, SendOutcome } from '../../src/desk/ports.js'
import { CONVERSATION_KINDS } from '../../src/desk/store.js'
import { adaptiveMessages } from '../../src/views/adaptive-card.js'
import type { BotService, Connector } from './bot-service.js'
import { outcomeOfFailure } from './send-outcome.js'
import { openTheChatCard } from './short-answers.js'
import { type AskedIn, activityOf, type CardOut, redirectedMessages } from './teams-message.js'
import { inThread } from './translation.js'

type Answer = Extract<Outbound, { kind: 'answer' }>

/** What a delivery left behind for answering it; see the translations. */
const replyHandle = z.object({
  tenant: z.string().min(1),
  conversation: z.string().min(1),
  kind: z.enum(CONVERSATION_KINDS),
  serviceUrl: z.string().min(1),
  user: z.string().min(1),
  thread: z.string().optional(),
  /** A preview in the personal chat that the first answer takes the place of. */
  replaces: z.string().optional(),
})
type Handle = z.infer<typeof replyHandle>

export interface AnswerParts {
  readonly service: BotService
  readonly trusted: (serviceUrl: string) => boolean
  readonly wait: (ms: number) => Promise<void>
  /** The personal chats found so far, by tenant and person. */
  readonly chats: Map<string, string>
  readonly previews: PressedPreviews
}

/**
 * Previews whose button was pressed, each waiting for the one answer that takes its place. What is said later about the
 * same press stands below, where it is noticed: Teams tells nobody of a changed message. After a restart nothing is replaced.
 */
export type PressedPreviews = Set<string>

const MOST_PREVIEWS = 1_000

export function previewPressed(previews: PressedPreviews, { conversation, replaces }: ReplyHandle): void {
  if (conversation === undefined || replaces === undefined) return
  if (previews.size >= MOST_PREVIEWS) previews.clear()
  previews.add(`${conversation} ${replaces}`)
}

/** A pause short enough to sit out between two messages of one answer. */
const LONGEST_PAUSE_MS = 5_000

/**
 * To one person, seen by nobody else. Teams has no message in a channel that only one person sees, so what was asked in
 * a channel or group chat is answered in the person's own chat with the bot. Where that is closed, a reply without any
 * of the answer's content says how to open it.
 */
export const answerWith = (parts: AnswerParts, { place, reply, card }: Answer): Promise<SendOutcome> =>
  tellPerson(parts, { place, reply }, (askedIn) =>
    askedIn === undefined ? adaptiveMessages(card) : redirectedMessages(card, askedIn),
  )

/**
 * The same for any messages.
 * @param messagesFor the messages; given where they were asked for when that is not where they are read
 */
export async function tellPerson(
  parts: AnswerParts,
  { place, reply }: Pick<Answer, 'place' | 'reply'>,
  messagesFor: (askedIn: AskedIn | undefined) => readonly CardOut[],
): Promise<SendOutcome> {
  const handle = replyHandle.safeParse(reply).data
  if (handle === undefined) return { outcome: 'refused', because: 'this answer does not say whom on Teams it is for' }
  if (!parts.trusted(handle.serviceUrl)) return { outcome: 'refused', because: 'the address it came from is not trusted' }
  const connector = await parts.service.connector(handle.serviceUrl)

  if (handle.kind === 'personal') {
    const { conversation, replaces } = handle
    const preview = `${conversation} ${replaces}`
    const waits = parts.previews.has(preview)
    const elsewhere = place.channel === conversation ? undefined : placeOf(place)
    const outcome = await inOrder(parts, connector, conversation, messagesFor(elsewhere), waits ? replaces : undefined)
    if (outcome.outcome !== 'not-sent') parts.previews.delete(preview)
    return outcome
  }

  const chat = await personalChat(parts, connector, handle)
  const outcome =
    'outcome' in chat ? chat : await inOrder(parts, connector, chat.conversation, messagesFor(placeOf(place)), undefined)
  return outcome.outcome === 'refused' ? askToOpenChat(connector, handle, outcome.because) : outcome
}

const placeOf = ({ channel, thread }: Answer['place']): AskedIn => ({ channel, ...(thread === undefined ? {} : { thread }) })

/** @param replaces the message that the first one takes the place of */
async function inOrder(
  parts: AnswerParts,
  connector: Connector,
  conversation: string,
  messages: readonly CardOut[],
  replaces: string | undefined,
): Promise<SendOutcome> {
  let last: SendOutcome = { outcome: 'refused', because: 'there is nothing to say' }
  for (const [index, message] of messages.entries()) {
    const send = () => outcomeOf(() => connector.send(conversation, activityOf(message)))
    last = { outcome: 'refused', because: 'nothing to replace' }
    if (index === 0 && replaces !== undefined)
      last = await outcomeOf(() => connector.update(conversation, replaces, activityOf(message)))
    // a preview that can no longer be replaced is answered below it
    if (last.outcome === 'refused') last = await send()
    if (last.outcome === 'not-sent' && index > 0 && last.retryAfterMs <= LONGEST_PAUSE_MS) {
      await parts.wait(last.retryAfterMs)
      last = await send()
    }
    if (last.outcome === 'sent') continue
    if (index === 0) return last
    return { outcome: 'unknown', because: `part ${index} of ${messages.length} arrived, then ${last.because}` }
  }
  return last
}

/** Making a chat that is there already gives the same one, so nothing of it need be kept over a restart. */
export async function personalChat(
  { chats }: Pick<AnswerParts, 'chats'>,
  connector: Connector,
  { tenant, user }: Pick<Handle, 'tenant' | 'user'>,
): Promise<{ readonly conversation: string } | Exclude<SendOutcome, { outcome: 'sent' }>> {
  const key = `${tenant} ${user}`
  const known = chats.get(key)
  if (known !== undefined) return { conversation: known }
  try {
    const { conversation } = await connector.personalChat(user, tenant)
    if (conversation === undefined) return { outcome: 'refused', because: 'Teams did not name the personal chat' }
    chats.set(key, conversation)
    return { conversation }
  } catch (fault) {
    const failure = outcomeOfFailure(fault)
    // nothing of the answer was in this call, so it may be made again
    return failure.outcome === 'unknown' ? { outcome: 'not-sent', retryAfterMs: 5_000, because: failure.because } : failure
  }
}

async function askToOpenChat(connector: Connector, handle: Handle, because: string): Promise<SendOutcome> {
  const conversation =
    handle.kind === 'channel' && handle.thread !== undefined ? inThread(handle.conversation, handle.thread) : handle.conversation
  const [message] = adaptiveMessages(openTheChatCard)
  if (message === undefined) return { outcome: 'refused', because }
  const told = await outcomeOf(() => connector.send(conversation, activityOf(message)))
  if (told.outcome === 'not-sent') return told
  return {
    outcome: 'refused',
    because: told.outcome === 'sent' ? `the personal chat is closed (${because}); the person was told how to open it` : because,
  }
}

/** One call to Teams, and what is known after it. */
export async function outcomeOf(call: () => Promise<{ readonly message?: string }>): Promise<SendOutcome> {
  try {
    const { message } = await call()
    return message === undefined
      ? { outcome: 'unknown', because: 'Teams accepted the message without saying where it stands' }
      : { outcome: 'sent', message }
  } catch (fault) {
    return outcomeOfFailure(fault)
  }
}
