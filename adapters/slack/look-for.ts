import { WebAPIPlatformError, type WebClient } from '@slack/web-api'
import type { Posting } from '../../src/desk/ports.js'
import type { Bot } from './translation.js'

/** Names our mark in a message's metadata. Anybody in the workspace may read metadata, so the mark says nothing. */
export const MARK_EVENT = 'soundings_posting'

const BEFORE_MS = 5_000
const AFTER_MS = 600_000
const PAGE = 200
const MOST_PAGES = 5

/** Slack will not show this channel's past, now or later. */
const CLOSED = new Set([
  'missing_scope',
  'not_in_channel',
  'channel_not_found',
  'thread_not_found',
  'no_permission',
  'access_denied',
])

/**
 * Reads the channel, or the thread, from a little before the send until ten minutes after it, and looks for our own
 * message with this mark. Slack shows new messages late, so `not-found` right after a send proves little.
 * Throws while Slack cannot be reached: then nothing is known, and the look is to be repeated.
 */
export async function lookFor(
  client: WebClient,
  bot: Bot,
  posting: Posting,
  thread: string | undefined,
  since: string,
): Promise<{ readonly found: string } | 'not-found' | 'cannot-look'> {
  const sinceMs = Date.parse(since)
  const window = {
    channel: posting.place.channel,
    oldest: seconds(sinceMs - BEFORE_MS),
    latest: seconds(sinceMs + AFTER_MS),
    inclusive: true,
    include_all_metadata: true,
    limit: PAGE,
  }
  let cursor: string | undefined
  try {
    for (let page = 0; page < MOST_PAGES; page++) {
      const at = cursor === undefined ? window : { ...window, cursor }
      const answer =
        thread === undefined ? await client.conversations.history(at) : await client.conversations.replies({ ...at, ts: thread })
      const ours = answer.messages?.find(
        (message) => message.bot_id === bot.botId && markOf(message.metadata) === posting.mark && message.ts !== undefined,
      )
      if (ours?.ts !== undefined) return { found: ours.ts }
      cursor = answer.response_metadata?.next_cursor || undefined
      if (cursor === undefined) return 'not-found'
    }
  } catch (fault) {
    if (fault instanceof WebAPIPlatformError && CLOSED.has(fault.data.error)) return 'cannot-look'
    throw fault
  }
  // a channel this busy cannot be read to its end: better to ask a person than to say it is not there
  return 'cannot-look'
}

const seconds = (ms: number): string => (ms / 1000).toFixed(6)

/** The library types metadata as a bare record on one method and not at all on the other. */
function markOf(metadata: unknown): unknown {
  if (typeof metadata !== 'object' || metadata === null) return undefined
  const { event_type, event_payload } = metadata as { event_type?: unknown; event_payload?: { mark?: unknown } }
  return event_type === MARK_EVENT ? event_payload?.mark : undefined
}
