import type { AskedConsult } from '../consult/consult.js'
import type { Person, Place } from '../consult/people.js'
import { type PlacedRow, placedRow } from '../trail/features.js'
import type { Scope } from '../trail/trail-store.js'
import { within } from './deps.js'
import {
  type Audience,
  audienceById,
  isPersonal,
  isSameRoom,
  type KeptAudiences,
  type Room,
  type Rooms,
  roomKey,
} from './rooms.js'

/** Who looks, and from where. */
export interface Looking {
  readonly by: Person
  readonly place: Place
}

type Sight = (row: Pick<PlacedRow, 'place' | 'partOf'>) => boolean | Promise<boolean>

/**
 * Whether this person may see one consult after another: what is in their reach, and open to their workspace, or of the
 * room where they are or that they belong to, or that they have a part in. Each room is asked about once.
 */
export function sightOf({ by, place }: Looking, scope: Scope, rooms: Rooms | undefined): Sight {
  const name = by.name.toLowerCase()
  const known = new Map<string, boolean | Promise<boolean>>()
  return (row) => {
    if (!within(scope, row.place)) return false
    if (isSameRoom(row.place, place)) return true
    if (row.partOf.some((one) => one === by.id || one.toLowerCase() === name)) return true
    const key = roomKey(row.place)
    const before = known.get(key)
    if (before !== undefined) return before
    const reads = readsAlong(by.id, row.place, rooms).then((does) => {
      known.set(key, does)
      return does
    })
    known.set(key, reads)
    return reads
  }
}

/** Whether somebody reads along in a room they do not look from. What the chat does not say counts as no. */
async function readsAlong(person: string, room: Room, rooms: Rooms | undefined): Promise<boolean> {
  if (isPersonal(room)) return false
  const audience = audienceById(room) ?? (await rooms?.audienceOf(room))
  if (audience === undefined) return false
  return audience === 'workspace' || (await rooms?.isMember(person, room)) === true
}

/** Whether somebody may see a consult as it stands. */
export async function maySeeConsult(
  looking: Looking,
  consult: AskedConsult,
  scope: Scope,
  rooms: Rooms | undefined,
): Promise<boolean> {
  return sightOf(looking, scope, rooms)(placedRow(consult, undefined))
}

/**
 * Whether consults may be shown to whoever reads this place, whoever that is, by what was last heard of both rooms: a
 * card is made at every answer, and nobody is asked for it.
 */
export async function readAtOf(
  place: Place,
  kept: KeptAudiences,
): Promise<(row: Pick<PlacedRow, 'place'>) => boolean | Promise<boolean>> {
  const heard = (room: Room) => audienceById(room) ?? kept.audienceOf(room)
  const readers = await heard(place)
  const known = new Map<string, boolean>()
  return (row) => {
    if (isSameRoom(row.place, place)) return true
    const key = roomKey(row.place)
    const before = known.get(key)
    if (before !== undefined) return before
    return Promise.resolve(heard(row.place)).then((audience) => {
      const shown = isReadByAll(readers, audience)
      known.set(key, shown)
      return shown
    })
  }
}

/** Whether all readers of one room read the other one as well. */
const isReadByAll = (readers: Audience | undefined, audience: Audience | undefined): boolean => {
  if (audience === undefined) return false
  if (audience === 'workspace') return true
  return typeof readers === 'object' && readers.membersOf === audience.membersOf
}
