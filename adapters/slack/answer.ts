import type { WebClient } from '@slack/web-api'
import { z } from 'zod'
import type { Outbound, SendOutcome } from '../../src/desk/ports.js'
import { type SlackMessage, slackMessages } from '../../src/views/slack-blocks.js'
import type { ResponseUrls } from './response-url.js'

type Answer = Extract<Outbound, { kind: 'answer' }>

/** What a delivery left behind for answering it; see the translations. */
const replyHandle = z.object({
  channel: z.string().min(1),
  user: z.string().min(1),
  thread: z.string().optional(),
  responseUrl: z.string().optional(),
  replaces: z.literal('preview').optional(),
})
type Handle = z.infer<typeof replyHandle>

type Route = (message: SlackMessage, first: boolean) => Promise<SendOutcome>

export interface AnswerParts {
  readonly client: WebClient
  readonly responseUrls: ResponseUrls
  readonly wait: (ms: number) => Promise<void>
  /** One call to Slack in the channel's turn. */
  readonly send: (channel: string, call: () => Promise<{ ts?: string; message_ts?: string }>) => Promise<SendOutcome>
}

/** A pause short enough to sit out between two messages of one answer. */
const LONGEST_PAUSE_MS = 5_000

/**
 * To one person, seen by nobody else: by the delivery's own address while it lives, else as a message only they see, else
 * in their direct messages with the bot. A way that is closed leads to the next; silence is not one of them.
 * Losing such an answer does no harm (a draft is kept); an uncertain one is reported as uncertain.
 */
export async function answerWith(parts: AnswerParts, { reply, card }: Answer): Promise<SendOutcome> {
  const handle = replyHandle.safeParse(reply)
  if (!handle.success) return { outcome: 'refused', because: 'this answer does not say whom on Slack it is for' }
  const routes = routesFor(parts, handle.data)
  const messages = slackMessages(card)

  let last: SendOutcome = { outcome: 'refused', because: 'there is nothing to say' }
  for (const [index, message] of messages.entries()) {
    last = await along(routes, message, index === 0)
    if (last.outcome === 'not-sent' && index > 0 && last.retryAfterMs <= LONGEST_PAUSE_MS) {
      await parts.wait(last.retryAfterMs)
      last = await along(routes, message, false)
    }
    if (last.outcome === 'sent') continue
    if (index === 0) return last
    return { outcome: 'unknown', because: `part ${index} of ${messages.length} arrived, then ${last.because}` }
  }
  return last
}

async function along(routes: readonly Route[], message: SlackMessage, first: boolean): Promise<SendOutcome> {
  let outcome: SendOutcome = { outcome: 'refused', because: 'there is no way to this person' }
  for (const route of routes) {
    outcome = await route(message, first)
    if (outcome.outcome !== 'refused') return outcome
  }
  return outcome
}

function routesFor(parts: AnswerParts, handle: Handle): readonly Route[] {
  const { client, responseUrls, send } = parts
  const { channel, user, responseUrl } = handle
  const thread = handle.thread === undefined ? {} : { thread_ts: handle.thread }
  const said = (message: SlackMessage) => ({
    text: message.text,
    blocks: [...message.blocks],
    unfurl_links: false,
    unfurl_media: false,
  })

  const byAddress: Route[] =
    responseUrl === undefined || !responseUrls.trusted(responseUrl)
      ? []
      : [
          async (message, first) => {
            const outcome = await responseUrls.send(responseUrl, message, first && handle.replaces === 'preview')
            return outcome.outcome === 'sent' ? { outcome: 'sent', message: 'ephemeral' } : outcome
          },
        ]
  const inDirectMessages: Route = (message) => send(user, () => client.chat.postMessage({ channel: user, ...said(message) }))
  const direct = channel.startsWith('D')
  const here: Route = direct
    ? (message) => send(channel, () => client.chat.postMessage({ channel, ...thread, ...said(message) }))
    : (message) =>
        send(channel, () =>
          client.chat.postEphemeral({ channel, user, ...thread, text: message.text, blocks: [...message.blocks] }),
        )
  // in a direct message a plain message is kept over reloads, which one sent by address is not
  return direct && handle.replaces === undefined ? [here, ...byAddress, inDirectMessages] : [...byAddress, here, inDirectMessages]
}
