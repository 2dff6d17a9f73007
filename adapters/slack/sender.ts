import type { WebClient } from '@slack/web-api'
import type { Card } from '../../src/cards/card.js'
import type { Posting, Sender, SendOutcome } from '../../src/desk/ports.js'
import { answerWith } from './answer.js'
import { type ChannelQueue, channelQueue, type Timing } from './channel-queue.js'
import { lookFor, MARK_EVENT } from './look-for.js'
import type { ResponseUrls } from './response-url.js'
import { outcomeOfFailure } from './send-outcome.js'
import type { SlackMessage } from './slack-message.js'
import type { Bot } from './translation.js'

export interface SenderParts {
  readonly client: WebClient
  readonly bot: Bot
  readonly messagesOf: (card: Card) => readonly SlackMessage[]
  readonly responseUrls: ResponseUrls
  readonly timing: Timing
}

export interface SlackSender extends Sender {
  /** Resolves when nothing is on its way to Slack. */
  idle(): Promise<void>
}

export function slackSender(parts: SenderParts): SlackSender {
  const { client, messagesOf } = parts
  const queue = channelQueue(parts.timing)
  const part = (posting: Posting): SlackMessage => {
    const message = messagesOf(posting.card)[posting.part]
    if (message === undefined) throw new RangeError(`the card has no part ${posting.part} on Slack`)
    return message
  }

  return {
    partsOf: (card) => messagesOf(card).length,

    async post(posting) {
      if (posting.part > 0 && posting.root === undefined)
        return { outcome: 'not-sent', retryAfterMs: 2_000, because: 'the first message of this card is not there yet' }
      const thread = threadFor(posting)
      return spaced(queue, posting.place.channel, () =>
        client.chat.postMessage({
          channel: posting.place.channel,
          ...(thread === undefined ? {} : { thread_ts: thread }),
          ...content(part(posting)),
          metadata: { event_type: MARK_EVENT, event_payload: { mark: posting.mark } },
        }),
      )
    },

    async update(posting, message) {
      return spaced(queue, posting.place.channel, () =>
        client.chat.update({
          channel: posting.place.channel,
          ts: message,
          ...content(part(posting)),
          metadata: { event_type: MARK_EVENT, event_payload: { mark: posting.mark } },
        }),
      )
    },

    lookFor: (posting, since) => lookFor(client, parts.bot, posting, threadFor(posting), since),

    answer: (outbound) => answerWith({ ...parts, send: (channel, call) => spaced(queue, channel, call) }, outbound),

    idle: () => queue.idle(),
  }
}

/** Slack's threads are flat: what follows a card that itself hangs in a thread goes into that same thread. */
function threadFor(posting: Posting): string | undefined {
  return posting.place.thread ?? (posting.part > 0 ? posting.root : undefined)
}

/** Links are not unfolded: a card is read as it was written. */
function content(message: SlackMessage) {
  return { text: message.text, blocks: [...message.blocks], unfurl_links: false, unfurl_media: false }
}

interface Answered {
  readonly ts?: string
  readonly message_ts?: string
}

/** One call in the channel's turn; a channel that Slack wants paused rests for everybody. */
function spaced(queue: ChannelQueue, channel: string, call: () => Promise<Answered>): Promise<SendOutcome> {
  return queue.run(
    channel,
    async (): Promise<SendOutcome> => {
      try {
        const { ts, message_ts } = await call()
        const message = ts ?? message_ts
        return message === undefined
          ? { outcome: 'unknown', because: 'Slack accepted the message without saying where it stands' }
          : { outcome: 'sent', message }
      } catch (fault) {
        if (fault instanceof RangeError) throw fault
        return outcomeOfFailure(fault)
      }
    },
    (outcome) => (outcome.outcome === 'not-sent' && outcome.because === 'Slack asked for a pause' ? outcome.retryAfterMs : 0),
  )
}
