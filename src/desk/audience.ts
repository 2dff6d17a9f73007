import type { AskedConsult } from '../consult/consult.js'
import type { Person, Place } from '../consult/people.js'
import { type PlacedRow, placedRow } from '../trail/features.js'
import type { Scope } from '../trail/trail-store.js'
import { within } from './deps.js'

/** Who looks, and from where. */
export interface Looking {
  readonly by: Person
  readonly place: Place
}

/**
 * Whether only the people of a conversation can read it, as far as its id tells: direct messages, chats of a few, and
 * on Slack the private channels of the older kind. A private channel whose id is like that of an open one is not told
 * apart: its consults are found by the whole workspace.
 */
export function isClosed({ platform, channel }: Pick<Place, 'platform' | 'channel'>): boolean {
  switch (platform) {
    case 'slack':
      return /^[DG]/.test(channel)
    case 'teams':
      return /^a:|@thread\.v2(?:;|$)|@unq\.gbl\.spaces(?:;|$)/.test(channel)
    case 'web':
      return false
    default:
      return unreachable(platform)
  }
}

const isSame = (one: Place, other: Place): boolean =>
  one.platform === other.platform && one.workspace === other.workspace && one.channel === other.channel

/** Whether a consult may be shown to whoever reads this place, whoever that is. */
export const isReadAt = (place: Place, row: Pick<PlacedRow, 'place'>): boolean => !isClosed(row.place) || isSame(row.place, place)

/** Whether somebody may see a consult: it is in their reach, and open, or of the place where they are, or they have a part in it. */
export function maySee({ by, place }: Looking, row: Pick<PlacedRow, 'place' | 'partOf'>, scope: Scope): boolean {
  if (!within(scope, row.place)) return false
  if (isReadAt(place, row)) return true
  const name = by.name.toLowerCase()
  return row.partOf.some((one) => one === by.id || one.toLowerCase() === name)
}

/** The same of a consult as it stands. */
export const maySeeConsult = (looking: Looking, consult: AskedConsult, scope: Scope): boolean =>
  maySee(looking, placedRow(consult, undefined), scope)

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
