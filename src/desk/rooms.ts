import type { Place } from '../consult/people.js'

/** A conversation of a chat, whatever hangs in it. */
export type Room = Pick<Place, 'platform' | 'workspace' | 'channel'>

/** Who reads what is posted in a room: everybody of the workspace, or those alone who are in the room or team of this id. */
export type Audience = 'workspace' | { readonly membersOf: string }

/**
 * What a chat says of its own rooms, kept for some minutes. `undefined` where it does not say so now: then nothing is
 * shown and nothing is posted on a guess.
 */
export interface Rooms {
  audienceOf(room: Room): Promise<Audience | undefined>
  /** @param person our id of a person */
  isMember(person: string, room: Room): Promise<boolean | undefined>
  botIsMember(room: Room): Promise<boolean | undefined>
}

/** What was last heard of rooms, over a restart. */
export interface KeptAudiences {
  audienceOf(room: Room): Promise<Audience | undefined>
}

/** Direct messages and personal chats: nobody but one person reads them, so there is nobody to be asked about. */
export const isPersonal = ({ platform, channel }: Room): boolean =>
  (platform === 'slack' && channel.startsWith('D')) || (platform === 'teams' && /^a:|@unq\.gbl\.spaces(?:;|$)/.test(channel))

/** Whether only the people of a room can read it, as far as its id tells: one that looks open may be private all the same. */
export function isClosed({ platform, channel }: Room): boolean {
  switch (platform) {
    case 'slack':
      return /^[DG]/.test(channel)
    case 'teams':
      return isPersonal({ platform, workspace: '', channel }) || /@thread\.v2(?:;|$)/.test(channel)
    case 'web':
      return false
    default:
      return unreachable(platform)
  }
}

/** What the id alone says of who reads a room; undefined where the chat has to be asked. */
export function audienceById(room: Room): Audience | undefined {
  if (room.platform === 'web') return 'workspace'
  return isClosed(room) ? { membersOf: room.channel } : undefined
}

export const isSameRoom = (one: Room, other: Room): boolean =>
  one.platform === other.platform && one.workspace === other.workspace && one.channel === other.channel

export const roomKey = ({ platform, workspace, channel }: Room): string => `${platform} ${workspace} ${channel}`

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
