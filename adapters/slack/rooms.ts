import { WebAPIPlatformError, type WebClient } from '@slack/web-api'
import type { LookUpFailed } from '../../src/desk/failed-look-ups.js'
import { keptAnswers } from '../../src/desk/kept-answers.js'
import type { Rooms } from '../../src/desk/rooms.js'

const PAGE = 1_000
/** A room with more people than this is not gone through: who is in it cannot be told. */
const MOST_PAGES = 20

/** As far as Slack says it to somebody outside: a private channel that the bot is not in does not exist for it. */
const NOT_THERE = new Set(['channel_not_found', 'not_in_channel'])

interface Facts {
  readonly open: boolean | undefined
  readonly botIsIn: boolean | undefined
}

/** What Slack says of its channels, by `conversations.info` and `conversations.members`. */
export function slackRooms(client: Pick<WebClient, 'conversations'>, now: () => number, failed: LookUpFailed): Rooms {
  const facts = keptAnswers<Facts>(now, ({ open, botIsIn }) => open !== undefined || botIsIn !== undefined)
  const members = keptAnswers<ReadonlySet<string> | undefined>(now, (known) => known !== undefined)

  const factsOf = (channel: string) => facts(channel, () => askedFacts(client, channel, failed))
  return {
    async audienceOf({ channel }) {
      const { open } = await factsOf(channel)
      if (open === undefined) return undefined
      return open ? 'workspace' : { membersOf: channel }
    },

    async isMember(person, { workspace, channel }) {
      const [platform, team, user] = person.split(':')
      if (platform !== 'slack' || team !== workspace || user === undefined) return false
      return (await members(channel, () => askedMembers(client, channel, failed)))?.has(user)
    },

    botIsMember: async ({ channel }) => (await factsOf(channel)).botIsIn,
  }
}

async function askedFacts(client: Pick<WebClient, 'conversations'>, channel: string, failed: LookUpFailed): Promise<Facts> {
  try {
    const { channel: room } = await client.conversations.info({ channel })
    if (room === undefined) return { open: undefined, botIsIn: undefined }
    const closed = room.is_private === true || room.is_im === true || room.is_mpim === true
    // only what is said outright to be no private channel is open
    const open = closed ? false : room.is_private === false ? true : undefined
    return { open, botIsIn: room.is_member }
  } catch (fault) {
    const notThere = fault instanceof WebAPIPlatformError && NOT_THERE.has(fault.data.error)
    if (!notThere) failed('conversations.info', fault)
    return { open: undefined, botIsIn: notThere ? false : undefined }
  }
}

async function askedMembers(
  client: Pick<WebClient, 'conversations'>,
  channel: string,
  failed: LookUpFailed,
): Promise<ReadonlySet<string> | undefined> {
  const found = new Set<string>()
  let cursor: string | undefined
  try {
    for (let page = 0; page < MOST_PAGES; page += 1) {
      const answer = await client.conversations.members({ channel, limit: PAGE, ...(cursor === undefined ? {} : { cursor }) })
      for (const user of answer.members ?? []) found.add(user)
      cursor = answer.response_metadata?.next_cursor || undefined
      if (cursor === undefined) return found
    }
  } catch (fault) {
    if (!(fault instanceof WebAPIPlatformError && NOT_THERE.has(fault.data.error))) failed('conversations.members', fault)
    return undefined
  }
  return undefined
}
