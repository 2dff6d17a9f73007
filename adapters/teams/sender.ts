import type { Posting, Sender, SendOutcome } from '../../src/desk/ports.js'
import type { Conversation } from '../../src/desk/store.js'
import { adaptiveMessages } from '../../src/views/adaptive-card.js'
import { type AnswerParts, answerWith, outcomeOf } from './answer.js'
import type { Connector, OutgoingActivity } from './bot-service.js'
import { cardMessages } from './card-messages.js'
import type { ConversationBook } from './conversations.js'
import { sendDirect } from './direct.js'
import { type PictureParts, withPicture } from './inline-picture.js'
import { withMentions } from './mentions.js'
import { activityOf } from './teams-message.js'
import { inThread } from './translation.js'

export interface SenderParts extends Omit<AnswerParts, 'chats'>, PictureParts {
  readonly conversations: ConversationBook
  /** The name of somebody, by our id, for mentioning them. */
  readonly nameOf: (id: string) => Promise<string | undefined>
  /** Our id of the one person who goes by this name, among those heard of since the start. */
  readonly idOf: (name: string) => string | undefined
}

type Call = (
  activity: OutgoingActivity,
  connector: Connector,
  conversation: Conversation,
) => Promise<{ readonly message?: string }>

export function teamsSender(parts: SenderParts, chats = new Map<string, string>()): Sender {
  return {
    partsOf: (card) => cardMessages(card).length,

    contentOf: (card, part) => JSON.stringify(cardMessages(card)[part]) ?? '',

    async post(posting) {
      if (posting.note !== undefined) return postNote(parts, posting, posting.note.mentions)
      if (posting.part > 0 && posting.root === undefined)
        return { outcome: 'not-sent', retryAfterMs: 2_000, because: 'the first message of this card is not there yet' }
      return showing(parts, posting, (activity, connector, { tenant, id, kind }) => {
        const thread = threadFor(posting)
        if (kind !== 'channel') return connector.send(id, activity)
        return thread === undefined ? connector.beginThread(id, tenant, activity) : connector.send(inThread(id, thread), activity)
      })
    },

    async update(posting, standing) {
      return showing(parts, posting, (activity, connector, { id, kind }) => {
        const thread = posting.place.thread ?? posting.root ?? standing
        return connector.update(kind === 'channel' ? inThread(id, thread) : id, standing, activity)
      })
    },

    /** Teams lets a bot read nothing back. */
    lookFor: async () => 'cannot-look',

    answer: (outbound) => answerWith({ ...parts, chats }, outbound),
    direct: (message) => sendDirect({ ...parts, chats }, message),
    lookForDirect: async () => 'cannot-look',
    personNamed: async (name) => parts.idOf(name),
  }
}

const threadFor = (posting: Posting): string | undefined =>
  posting.place.thread ?? (posting.part > 0 || posting.note !== undefined ? posting.root : undefined)

/** One message of a card, with its picture where Teams takes it, else with the picture's numbers in words. */
async function showing(parts: SenderParts, posting: Posting, call: Call): Promise<SendOutcome> {
  const shown = cardMessages(posting.card)[posting.part]
  if (shown === undefined) return { outcome: 'refused', because: 'the card has become shorter and needs no such part' }
  const inWords = activityOf(shown.message)
  if (shown.svg === undefined) return within(parts, posting, inWords, call)
  const pictured = await withPicture(parts, inWords, shown.svg)
  const outcome = await within(parts, posting, pictured, call)
  // refused for certain, so nothing stands there twice
  return outcome.outcome === 'refused' && pictured !== inWords ? within(parts, posting, inWords, call) : outcome
}

/** A note is one message; the little that a single message cannot hold follows it at once. */
async function postNote(parts: SenderParts, posting: Posting, mentions: readonly string[]): Promise<SendOutcome> {
  const thread = threadFor(posting)
  if (thread === undefined) return { outcome: 'not-sent', retryAfterMs: 2_000, because: 'its thread is not there yet' }
  const [first, ...rest] = adaptiveMessages(posting.card)
  if (first === undefined) return { outcome: 'refused', because: 'there is nothing to say' }
  const messages = [await withMentions(first, posting.place.workspace, mentions, parts.nameOf), ...rest]
  let begun: SendOutcome | undefined
  for (const message of messages) {
    const outcome = await within(parts, posting, activityOf(message), (activity, connector, { id, kind }) =>
      connector.send(kind === 'channel' ? inThread(id, thread) : id, activity),
    )
    if (begun !== undefined && outcome.outcome !== 'sent')
      return { outcome: 'unknown', because: `the first part arrived, then ${outcome.because}` }
    begun ??= outcome
    if (begun.outcome !== 'sent') return begun
  }
  return begun ?? { outcome: 'refused', because: 'there is nothing to say' }
}

async function within(parts: SenderParts, posting: Posting, activity: OutgoingActivity, call: Call): Promise<SendOutcome> {
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
  return outcomeOf(() => call(activity, connector, conversation))
}
