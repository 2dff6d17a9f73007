import type { Platform } from '../src/consult/people.js'
import type { Clock } from '../src/desk/ports.js'
import { type Audience, audienceById, type Rooms } from '../src/desk/rooms.js'
import type { Audiences } from '../src/desk/store.js'

export interface RoomsParts {
  /** The chats that are on; asked at each call, since they start after the desk. */
  readonly chats: () => Readonly<Partial<Record<Platform, Rooms>>>
  readonly audiences: Audiences
  readonly clock: Clock
}

/** While a chat does not answer, a room that was open counts as open for so long; a closed one as closed for ever. */
const OPEN_KEEPS_MS = 24 * 60 * 60 * 1000
/** What has not changed is written down again after this time. */
const WRITTEN_KEEPS_MS = 60 * 60 * 1000

const isSame = (one: Audience, other: Audience): boolean => JSON.stringify(one) === JSON.stringify(other)

/** The rooms of all chats, with what was last heard of each kept over a restart. */
export function roomsOf({ chats, audiences, clock }: RoomsParts): Rooms {
  return {
    async audienceOf(room) {
      const byId = audienceById(room)
      if (byId !== undefined) return byId
      const said = await chats()[room.platform]?.audienceOf(room)
      const kept = await audiences.get(room)
      const age = kept === undefined ? 0 : Date.parse(clock.now()) - Date.parse(kept.at)
      if (said === undefined) {
        // no channel of Teams is read by others than those in it; which team that is, is not known of this one
        if (kept === undefined && room.platform === 'teams') return { membersOf: room.channel }
        return kept?.audience === 'workspace' && age > OPEN_KEEPS_MS ? undefined : kept?.audience
      }
      if (kept === undefined || !isSame(kept.audience, said) || age > WRITTEN_KEEPS_MS)
        await audiences.put(room, said, clock.now())
      return said
    },
    isMember: async (person, room) => chats()[room.platform]?.isMember(person, room),
    botIsMember: async (room) => chats()[room.platform]?.botIsMember(room),
  }
}
