import type { Person, Place } from '../consult/people.js'
import type { DeskDeps } from './deps.js'
import { isPersonal } from './rooms.js'

const NOT_A_CHANNEL = 'Nothing was posted: what you chose is no channel. Choose one that your colleagues read'
const NOT_IN_IT =
  'Nothing was posted: you are not in the channel that you chose. Join it, or have yourself added, and post again; or choose another channel'
const BOT_NOT_IN_IT =
  'Nothing was posted: I am not in the channel that you chose. Invite me there, on Slack with /invite, and post again; or choose another channel'
const NOT_KNOWN =
  'Nothing was posted: it cannot be found out now whether you are in the channel that you chose. Try again in some minutes, or write the case in that channel itself'

/**
 * Why a case is not put in a channel that its asker chose from elsewhere; undefined where nothing speaks against it.
 * Both the asker and the bot have to be in it: a case put in somebody's name where they could not write themselves would
 * say that they had been there.
 */
export async function whyNotThere(by: Person, place: Place, { rooms }: Pick<DeskDeps, 'rooms'>): Promise<string | undefined> {
  if (place.platform === 'web') return undefined
  if (isPersonal(place)) return NOT_A_CHANNEL
  const isIn = await rooms?.isMember(by.id, place)
  if (isIn === false) return NOT_IN_IT
  const botIsIn = await rooms?.botIsMember(place)
  if (botIsIn === false) return BOT_NOT_IN_IT
  return isIn === undefined || botIsIn === undefined ? NOT_KNOWN : undefined
}
