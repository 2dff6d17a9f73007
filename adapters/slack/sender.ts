import type { WebClient } from '@slack/web-api'
import type { Posting, Sender, SendOutcome } from '../../src/desk/ports.js'
import type { SlackMessage } from '../../src/views/slack-blocks.js'
import { answerWith } from './answer.js'
import { type CardMessage, cardMessages } from './card-messages.js'
import { type ChannelQueue, channelQueue, type Timing } from './channel-queue.js'
import { directRooms, linkedMessages } from './direct.js'
import { lookFor, MARK_EVENT } from './look-for.js'
import type { NameBook } from './names.js'
import { noteMessages } from './note-messages.js'
import type { Pictures } from './pictures.js'
import type { ResponseUrls } from './response-url.js'
import { outcomeOfFailure, PAUSE } from './send-outcome.js'
import { type Bot, personId } from './translation.js'

export interface SenderParts {
  readonly client: WebClient
  readonly bot: Bot
  readonly responseUrls: ResponseUrls
  readonly timing: Timing
  /** For mentioning people by name. */
  readonly names: Pick<NameBook, 'idOf'>
  /** Absent: pictures are shown in words. */
  readonly pictures?: Pictures
}

export interface SlackSender extends Sender {
  /** Resolves when nothing is on its way to Slack. */
  idle(): Promise<void>
}

export function slackSender(parts: SenderParts): SlackSender {
  const { client } = parts
  const queue = channelQueue(parts.timing)
  const directRoom = directRooms(client)

  /** One message of a card, with its picture where Slack takes it, else with the picture's numbers in words. */
  async function showing(posting: Posting, call: (message: SlackMessage) => Promise<Answered>): Promise<SendOutcome> {
    const shown: CardMessage | undefined = cardMessages(posting.card)[posting.part]
    if (shown === undefined) return NO_SUCH_PART
    const { channel } = posting.place
    const { picture, message } = shown
    const file = picture === undefined ? undefined : await parts.pictures?.fileOf(picture.svg)
    if (picture === undefined || file === undefined) return spaced(queue, channel, () => call(message))
    const outcome = await spaced(queue, channel, () => call(picture.showing(file)))
    // refused for certain, so nothing stands there twice
    return outcome.outcome === 'refused' ? spaced(queue, channel, () => call(message)) : outcome
  }

  /** A note is one message; the little that a single message cannot hold follows it at once. */
  async function postNote(posting: Posting, mentions: readonly string[]): Promise<SendOutcome> {
    const thread = threadFor(posting)
    if (thread === undefined) return { outcome: 'not-sent', retryAfterMs: 2_000, because: 'its thread is not there yet' }
    const messages = await noteMessages(posting.card, posting.place.workspace, mentions, parts.names)
    return inOrder(posting.place.channel, messages, posting.mark, { thread_ts: thread })
  }

  async function inOrder(
    channel: string,
    messages: readonly SlackMessage[],
    sign: string,
    thread: { readonly thread_ts?: string },
  ): Promise<SendOutcome> {
    let first: SendOutcome = { outcome: 'refused', because: 'there is nothing to say' }
    for (const [index, message] of messages.entries()) {
      const mark = index === 0 ? { metadata: marked({ mark: sign }) } : {}
      const outcome = await spaced(queue, channel, () =>
        client.chat.postMessage({ channel, ...thread, ...content(message), ...mark }),
      )
      if (index === 0) first = outcome
      if (outcome.outcome === 'sent') continue
      return index === 0
        ? outcome
        : { outcome: 'unknown', because: `part ${index} of ${messages.length} arrived, then ${outcome.because}` }
    }
    return first
  }

  return {
    partsOf: (card) => cardMessages(card).length,

    contentOf(card, part) {
      const shown = cardMessages(card)[part]
      // block ids change with the whole card; what this message says may not have
      const said = JSON.stringify(shown?.message, (key, value: unknown) => (key === 'block_id' ? undefined : value)) ?? ''
      return `${said}${shown?.picture?.svg ?? ''}`
    },

    async post(posting) {
      if (posting.note !== undefined) return postNote(posting, posting.note.mentions)
      if (posting.part > 0 && posting.root === undefined)
        return { outcome: 'not-sent', retryAfterMs: 2_000, because: 'the first message of this card is not there yet' }
      const thread = threadFor(posting)
      return showing(posting, (message) =>
        client.chat.postMessage({
          channel: posting.place.channel,
          ...(thread === undefined ? {} : { thread_ts: thread }),
          ...content(message),
          metadata: marked(posting),
        }),
      )
    },

    async update(posting, standing) {
      return showing(posting, (message) =>
        client.chat.update({ channel: posting.place.channel, ts: standing, ...content(message), metadata: marked(posting) }),
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

    async direct(message) {
      const room = await directRoom(message)
      if (!('channel' in room)) return room
      return inOrder(room.channel, await linkedMessages(client, message), message.mark, {})
    },

    async lookForDirect(message, since) {
      const room = await directRoom(message)
      if (!('channel' in room)) return room.outcome === 'refused' ? 'not-found' : 'cannot-look'
      const { card, mark } = message
      const place = { platform: 'slack', workspace: message.place.workspace, channel: room.channel } as const
      return lookFor(client, parts.bot, { place, card, part: 0, mark }, undefined, since)
    },

    async personNamed(name, { workspace }) {
      const user = await parts.names.idOf(name)
      return user === undefined ? undefined : personId(workspace, user)
    },

    idle: () => queue.idle(),
  }
}

/** Slack's threads are flat: what follows a card that itself hangs in a thread goes into that same thread. */
function threadFor(posting: Posting): string | undefined {
  return posting.place.thread ?? (posting.part > 0 || posting.note !== undefined ? posting.root : undefined)
}

const marked = ({ mark }: Pick<Posting, 'mark'>) => ({ event_type: MARK_EVENT, event_payload: { mark } })

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
