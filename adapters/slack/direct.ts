import type { SectionBlock } from '@slack/types'
import { WebAPIPlatformError, type WebClient } from '@slack/web-api'
import { CONSULT_WORDS } from '../../src/cards/words-consult-en.js'
import type { DirectMessage, SendOutcome } from '../../src/desk/ports.js'
import { type SlackMessage, slackMessages } from '../../src/views/slack-blocks.js'
import { outcomeOfAnswer, outcomeOfFailure } from './send-outcome.js'

type Room = { readonly channel: string } | Exclude<SendOutcome, { outcome: 'sent' }>

const MOST_ROOMS = 5_000

/** Slack's id of somebody, by our id. */
export function slackUser(person: string, workspace: string): string | undefined {
  const [platform, team, user] = person.split(':')
  return platform === 'slack' && team === workspace && user !== undefined && /^[UW][A-Z0-9]+$/.test(user) ? user : undefined
}

/** The direct messages of the bot with each person. Opening those that are open gives the same ones, so nothing is kept over a restart. */
export function directRooms(client: Pick<WebClient, 'conversations'>): (message: DirectMessage) => Promise<Room> {
  const rooms = new Map<string, string>()
  return async ({ to, place }) => {
    const user = slackUser(to, place.workspace)
    if (user === undefined) return { outcome: 'refused', because: 'this person is not of this workspace' }
    const known = rooms.get(user)
    if (known !== undefined) return { channel: known }
    try {
      const { channel } = await client.conversations.open({ users: user })
      if (channel?.id === undefined) return { outcome: 'refused', because: 'Slack did not name the direct messages' }
      if (rooms.size >= MOST_ROOMS) rooms.clear()
      rooms.set(user, channel.id)
      return { channel: channel.id }
    } catch (fault) {
      // nothing was said yet: what an app of an older installation may not do has another way, what is only late has not
      if (fault instanceof WebAPIPlatformError && fault.data.error === 'missing_scope')
        return {
          outcome: 'refused',
          because: 'the app may not write to people directly; install it again with deploy/slack-manifest.json',
        }
      const failure = fault instanceof WebAPIPlatformError ? outcomeOfAnswer(fault.data.error) : outcomeOfFailure(fault)
      return failure.outcome === 'unknown' ? { outcome: 'not-sent', retryAfterMs: 5_000, because: failure.because } : failure
    }
  }
}

/** The messages of a card, the first with a link to where the consult stands. */
export async function linkedMessages(
  client: Pick<WebClient, 'chat'>,
  { card, ref, place, root }: DirectMessage,
): Promise<readonly SlackMessage[]> {
  const [first, ...rest] = slackMessages(card)
  if (first === undefined) return []
  const address = root === undefined ? undefined : await permalink(client, place.channel, root)
  if (address === undefined) return [first, ...rest]
  const link: SectionBlock = {
    type: 'section',
    text: { type: 'mrkdwn', text: `<${address}|${CONSULT_WORDS.reminder.open(ref)}>` },
  }
  return [{ ...first, blocks: [...first.blocks, link] }, ...rest]
}

/** A message without its link is still worth sending. */
async function permalink(client: Pick<WebClient, 'chat'>, channel: string, message_ts: string): Promise<string | undefined> {
  try {
    const { permalink: address } = await client.chat.getPermalink({ channel, message_ts })
    return address !== undefined && /^https:\/\/[^\s|<>]+$/.test(address) ? address : undefined
  } catch {
    return undefined
  }
}
