import type { LookUpFailed } from '../../src/desk/failed-look-ups.js'
import { keptAnswers } from '../../src/desk/kept-answers.js'
import type { Rooms } from '../../src/desk/rooms.js'
import type { BotService } from './bot-service.js'
import type { ConversationBook } from './conversations.js'
import type { ActivityEnvelope } from './payloads.js'
import { withoutThread } from './translation.js'

export interface TeamsRooms extends Rooms {
  /** Every delivery from a channel says which team it belongs to, and whether all of the team are in it. */
  heard(activity: Pick<ActivityEnvelope, 'conversation' | 'channelData'>): void
}

export interface RoomParts {
  readonly service: Pick<BotService, 'connector'>
  readonly conversations: Pick<ConversationBook, 'get'>
  readonly trusted: (serviceUrl: string) => boolean
  readonly now: () => number
  readonly failed: LookUpFailed
}

const MOST_CHANNELS = 5_000

/** Who reads along in the channels and chats of Teams, by its roster. */
export function teamsRooms({ service, conversations, trusted, now, failed }: RoomParts): TeamsRooms {
  const readers = new Map<string, string>()
  const members = keptAnswers<boolean | undefined>(now, (known) => known !== undefined)

  async function ask(tenant: string, channel: string, user: string): Promise<boolean | undefined> {
    try {
      const conversation = await conversations.get(tenant, channel)
      if (conversation === undefined || !trusted(conversation.serviceUrl)) return undefined
      const connector = await service.connector(conversation.serviceUrl)
      return await connector.isMember(channel, user)
    } catch (fault) {
      failed('members of a conversation', fault)
      return undefined
    }
  }

  return {
    heard({ conversation, channelData }) {
      const team = channelData?.team?.id
      const type = channelData?.channel?.type
      // of a channel whose kind is not said, its own members alone count as its readers
      if (team === undefined || type === undefined) return
      if (readers.size >= MOST_CHANNELS) readers.clear()
      const { channel } = withoutThread(conversation.id)
      readers.set(channel, type.toLowerCase() === 'standard' ? team : channel)
    },

    async audienceOf({ channel }) {
      const membersOf = readers.get(channel)
      return membersOf === undefined ? undefined : { membersOf }
    },

    async isMember(person, { workspace, channel }) {
      const ofTenant = `teams:${workspace}:`
      if (!person.startsWith(ofTenant)) return false
      const user = person.slice(ofTenant.length)
      return members(`${workspace} ${channel} ${user}`, () => ask(workspace, channel, user))
    },

    botIsMember: async ({ workspace, channel }) => (await conversations.get(workspace, channel)) !== undefined,
  }
}
