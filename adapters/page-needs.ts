import { planPicture } from '../src/cards/picture.js'
import { fold } from '../src/consult/consult.js'
import { currentCard } from '../src/desk/consult-here.js'
import { within } from '../src/desk/deps.js'
import type { Clock, Delivery } from '../src/desk/ports.js'
import { receive } from '../src/desk/receive.js'
import type { Store } from '../src/desk/store.js'
import { queryOf } from '../src/trail/find.js'
import type { Scope } from '../src/trail/trail-store.js'
import { type PageNeeds, WEB_PLACE } from './web/page-app.js'
import type { WaitingAnswers } from './web/waiting.js'

const MOST_FOUND = 50

/** The page sees the consults that were asked on it, and nothing that belongs to a chat's workspace. */
const SCOPE: Scope = { platform: WEB_PLACE.platform, workspace: WEB_PLACE.workspace }

export function pageNeeds(
  store: Store,
  accept: (delivery: Delivery) => Promise<void>,
  answers: WaitingAnswers,
  clock: Clock,
  hosts: ReadonlySet<string>,
): PageNeeds {
  return {
    accept: (inbound, key) => accept(receive(inbound, key, clock.now().slice(0, 10))),
    answers,
    hosts,
    draft: (id) => store.view.draft(id),
    newest: (count) => store.trail.newest(SCOPE, count),
    find: async (words) => {
      const query = queryOf(words)
      return query ? store.trail.find(query, SCOPE, MOST_FOUND) : []
    },
    consult: async (ref) => {
      const consult = fold(await store.trail.events(ref))
      if (consult.status === 'not-asked' || !within(SCOPE, consult.place)) return undefined
      const card = await currentCard(store.view, ref, { withWorking: true, picture: planPicture })
      const said = consult.comments.map(({ by, at, text }) => ({ by: by.name, at, text }))
      return card && { card, said }
    },
  }
}
