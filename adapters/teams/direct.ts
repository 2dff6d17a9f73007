import { CONSULT_WORDS } from '../../src/cards/words-consult-en.js'
import type { DirectMessage, SendOutcome } from '../../src/desk/ports.js'
import type { Conversation } from '../../src/desk/store.js'
import { adaptiveMessages } from '../../src/views/adaptive-card.js'
import { type AnswerParts, outcomeOf, personalChat } from './answer.js'
import type { ConversationBook } from './conversations.js'
import { activityOf, type CardOut } from './teams-message.js'

export interface DirectParts extends AnswerParts {
  readonly conversations: ConversationBook
}

/**
 * To one person in their own chat with the bot, which Teams makes for whoever has the app or is in a team that has it; by
 * their id in the directory, which serves there (learn.microsoft.com, proactive messages, read 2026-11-28).
 */
export async function sendDirect(parts: DirectParts, message: DirectMessage): Promise<SendOutcome> {
  const { workspace: tenant, channel } = message.place
  const ofTenant = `teams:${tenant}:`
  if (!message.to.startsWith(ofTenant)) return { outcome: 'refused', because: 'this person is not of this tenant' }
  const from = await parts.conversations.get(tenant, channel)
  if (from === undefined || !parts.trusted(from.serviceUrl))
    return { outcome: 'refused', because: 'the bot has not been heard from where the consult stands' }
  const connector = await parts.service.connector(from.serviceUrl)
  const chat = await personalChat(parts, connector, { tenant, user: message.to.slice(ofTenant.length) })
  if ('outcome' in chat) return chat
  let begun: SendOutcome | undefined
  for (const card of linkedMessages(message, from)) {
    const outcome = await outcomeOf(() => connector.send(chat.conversation, activityOf(card)))
    if (begun !== undefined && outcome.outcome !== 'sent')
      return { outcome: 'unknown', because: `the first part arrived, then ${outcome.because}` }
    begun ??= outcome
    if (begun.outcome !== 'sent') return begun
  }
  return begun ?? { outcome: 'refused', because: 'there is nothing to say' }
}

/** The messages of a card, the first with a link to where the consult stands. */
function linkedMessages({ card, ref, place, root }: DirectMessage, from: Conversation): readonly CardOut[] {
  const [first, ...rest] = adaptiveMessages(card)
  if (first === undefined) return []
  if (root === undefined) return [first, ...rest]
  const text = `[${CONSULT_WORDS.reminder.open(ref)}](${messageAddress(place, root, from)})`
  const body = [...first.card.body, { type: 'TextBlock', text, wrap: true } as const]
  return [{ ...first, card: { ...first.card, body } }, ...rest]
}

/** A deep link to a message (learn.microsoft.com, deep links to a channel conversation and to chat messages, read 2026-11-28). */
export function messageAddress(
  { workspace, channel }: DirectMessage['place'],
  root: string,
  { kind, serviceUrl }: Pick<Conversation, 'kind' | 'serviceUrl'>,
): string {
  const path = `https://${clientHost(serviceUrl)}/l/message/${encodeURIComponent(channel)}/${encodeURIComponent(root)}`
  const query = new URLSearchParams(
    kind === 'channel'
      ? { tenantId: workspace, parentMessageId: root, createdTime: root }
      : { tenantId: workspace, context: '{"contextType":"chat"}' },
  )
  return `${path}?${query.toString()}`
}

/** Where a cloud's people open Teams, by where its bots speak to it: the clouds of the United States government have their own. */
function clientHost(serviceUrl: string): string {
  const [, cloud] = /^smba\.infra\.(gov|dod)\.teams\.microsoft\.us$/.exec(new URL(serviceUrl).hostname) ?? []
  return cloud === undefined ? 'teams.microsoft.com' : `${cloud}.teams.microsoft.us`
}
