import type { Posting, Sender, SendOutcome } from '../../src/desk/ports.js'
import type { Conversation } from '../../src/desk/store.js'
import { type AdaptiveMessage, adaptiveMessages } from '../../src/views/adaptive-card.js'
import { answerWith, outcomeOf, type PressedPreviews } from './answer.js'
import type { BotService, Connector } from './bot-service.js'
import type { ConversationBook } from './conversations.js'
import { activityOf } from './teams-message.js'
import { inThread } from './translation.js'

export interface SenderParts {
  readonly service: BotService
  readonly conversations: ConversationBook
  readonly previews: PressedPreviews
  readonly trusted: (serviceUrl: string) => boolean
  readonly wait: (ms: number) => Promise<void>
}

export function teamsSender(parts: SenderParts): Sender {
  const chats = new Map<string, string>()

  return {
    partsOf: (card) => adaptiveMessages(card).length,

    contentOf: (card, part) => JSON.stringify(adaptiveMessages(card)[part]) ?? '',

    async post(posting) {
      if (posting.part > 0 && posting.root === undefined)
        return { outcome: 'not-sent', retryAfterMs: 2_000, because: 'the first message of this card is not there yet' }
      return withMessage(parts, posting, (message, connector, conversation) => {
        const { tenant, id, kind } = conversation
        const thread = posting.place.thread ?? (posting.part > 0 ? posting.root : undefined)
        if (kind !== 'channel') return connector.send(id, activityOf(message))
        return thread === undefined
          ? connector.beginThread(id, tenant, activityOf(message))
          : connector.send(inThread(id, thread), activityOf(message))
      })
    },

    async update(posting, standing) {
      return withMessage(parts, posting, (message, connector, { id, kind }) => {
        const thread = posting.place.thread ?? posting.root ?? standing
        return connector.update(kind === 'channel' ? inThread(id, thread) : id, standing, activityOf(message))
      })
    },

    /** Teams lets a bot read nothing back. */
    lookFor: async () => 'cannot-look',

    answer: (outbound) => answerWith({ ...parts, chats }, outbound),
  }
}

async function withMessage(
  parts: SenderParts,
  posting: Posting,
  call: (message: AdaptiveMessage, connector: Connector, conversation: Conversation) => Promise<{ readonly message?: string }>,
): Promise<SendOutcome> {
  const message = adaptiveMessages(posting.card)[posting.part]
  if (message === undefined) return { outcome: 'refused', because: 'the card has become shorter and needs no such part' }
  const { workspace, channel } = posting.place
  const conversation = await parts.conversations.get(workspace, channel)
  if (conversation === undefined)
    return {
      outcome: 'refused',
      because: 'the bot has not been heard from in this conversation: name it there once, then try again',
    }
  if (!parts.trusted(conversation.serviceUrl))
    return { outcome: 'refused', because: 'the service address of this conversation is not among the trusted ones' }
  const connector = await parts.service.connector(conversation.serviceUrl)
  return outcomeOf(() => call(message, connector, conversation))
}
