import { NO_SUCH_CONSULT } from './answer-consult.js'
import { consultFor } from './consult-here.js'
import type { DeskDeps } from './deps.js'
import type { Inbound } from './ports.js'
import { note, refuse } from './replies.js'
import type { DeskView, Effects } from './store.js'

/** Sends a card again of which nobody knows whether it stands there, because its asker looked and it does not. */
export async function postAgain(inbound: Inbound, ref: string, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const here = await consultFor(inbound, ref, view, deps)
  if (!here) return refuse(inbound, NO_SUCH_CONSULT)
  if (here.consult.askedBy.id !== inbound.by.id)
    return refuse(inbound, `Only ${here.consult.askedBy.name}, who asked ${ref}, can post it again`)
  const standing = await view.cardStanding(ref)
  switch (standing) {
    case 'posted':
      return note(inbound, `${ref} stands in its channel; it is not posted a second time`)
    case 'waiting':
    case 'none':
      return note(inbound, `${ref} is on its way and will be posted by itself`)
    case 'possibly-posted':
    case 'refused':
      return { ...note(inbound, `${ref} is sent again now`), postAgain: [ref] }
    default:
      return unreachable(standing)
  }
}

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
