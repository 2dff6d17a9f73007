import type { WebClient } from '@slack/web-api'
import type { Posting, Sender, SendOutcome } from '../../src/desk/ports.js'
import { type SlackMessage, slackMessages } from '../../src/views/slack-blocks.js'
import { answerWith } from './answer.js'
import { type ChannelQueue, channelQueue, type Timing } from './channel-queue.js'
import { lookFor, MARK_EVENT } from './look-for.js'
import type { ResponseUrls } from './response-url.js'
import { outcomeOfFailure, PAUSE } from './send-outcome.js'
import type { Bot } from './translation.js'

export interface SenderParts {
  readonly client: WebClient
  readonly bot: Bot
  readonly responseUrls: ResponseUrls
  readonly timing: Timing
}

export interface SlackSender extends Sender {
  /** Resolves when nothing is on its way to Slack. */
  idle(): Promise<void>
}

export function slackSender(parts: SenderParts): SlackSender {
  const { client } = parts
  const queue = channelQueue(parts.timing)

  return {
    partsOf: (card) => slackMessages(card).length,

    contentOf(card, part) {
      const message = slackMessages(card)[part]
      // block ids change with the whole card; what this message says may not have
      return JSON.stringify(message, (key, value: unknown) => (key === 'block_id' ? undefined : value)) ?? ''
    },

    async post(posting) {
      if (posting.part > 0 && posting.root === undefined)
        return { outcome: 'not-sent', retryAfterMs: 2_000, because: 'the first message of this card is not there yet' }
      const message = slackMessages(posting.card)[posting.part]
      if (message === undefined) return NO_SUCH_PART
      const thread = threadFor(posting)
      return spaced(queue, posting.place.channel, () =>
        client.chat.postMessage({
          channel: posting.place.channel,
          ...(thread === undefined ? {} : { thread_ts: thread }),
          ...content(message),
          metadata: { event_type: MARK_EVENT, event_payload: { mark: posting.mark } },
        }),
      )
    },

    async update(posting, message) {
      const shown = slackMessages(posting.card)[posting.part]
      if (shown === undefined) return NO_SUCH_PART
      return spaced(queue, posting.place.channel, () =>
        client.chat.update({
          channel: posting.place.channel,
          ts: message,
          ...content(shown),
          metadata: { event_type: MARK_EVENT, event_payload: { mark: posting.mark } },
        }),
      )
    },

    lookFor: (posting, since) => lookFor(client, parts.bot, posting, threadFor(posting), since),

    answer: (outbound) =>
      answerWith(
        {
          client,
          responseUrls: parts.responseUrls,
          wait: parts.timing.wait,
          send: (channel, call) => spaced(queue, channel, call),
        },
        outbound,
      ),

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

const NO_SUCH_PART: SendOutcome = { outcome: 'refused', because: 'the card has become shorter and needs no such part' }

/** A rest longer than this is not waited for inside a call: the message is given back to be sent later. */
const LONGEST_WAIT_MS = 3_000

interface Answered {
  readonly ts?: string
  readonly message_ts?: string
}

/** One call in the channel's turn; a channel that Slack wants paused rests for everybody. */
async function spaced(queue: ChannelQueue, channel: string, call: () => Promise<Answered>): Promise<SendOutcome> {
  const rest = queue.restOf(channel)
  if (rest > LONGEST_WAIT_MS) return { outcome: 'not-sent', retryAfterMs: Math.ceil(rest), because: PAUSE }
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
        return outcomeOfFailure(fault)
      }
    },
    (outcome) => (outcome.outcome === 'not-sent' && outcome.because === PAUSE ? outcome.retryAfterMs : 0),
  )
}
