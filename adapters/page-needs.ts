import { planPicture } from '../src/cards/picture.js'
import { type AskedConsult, fold } from '../src/consult/consult.js'
import { currentCard } from '../src/desk/consult-here.js'
import { within } from '../src/desk/deps.js'
import type { Delivery } from '../src/desk/ports.js'
import { receive } from '../src/desk/receive.js'
import { sheetOf } from '../src/desk/sheets.js'
import type { Store } from '../src/desk/store.js'
import { queryOf } from '../src/trail/find.js'
import type { Scope } from '../src/trail/trail-store.js'
import type { FormsAndHome } from './forms-and-home.js'
import { type PageNeeds, type Said, WEB_PLACE } from './web/page-needs.js'
import type { WaitingAnswers } from './web/waiting.js'

const MOST_FOUND = 50

/** The page sees the consults that were asked on it, and nothing that belongs to a chat's workspace. */
const SCOPE: Scope = { platform: WEB_PLACE.platform, workspace: WEB_PLACE.workspace }

export interface PageParts {
  readonly store: Store
  readonly accept: (delivery: Delivery) => Promise<void>
  readonly answers: WaitingAnswers
  /** The department's own day, ISO date. */
  readonly today: () => string
  readonly hosts: ReadonlySet<string>
  readonly asked: FormsAndHome
}

export function pageNeeds({ store, accept, answers, today, hosts, asked }: PageParts): PageNeeds {
  const here = async (ref: string) => {
    const consult = fold(await store.trail.events(ref))
    return consult.status === 'not-asked' || !within(SCOPE, consult.place) ? undefined : consult
  }
  return {
    accept: (inbound, key) => accept(receive(inbound, key, today())),
    receive: (inbound, key) => receive(inbound, key, today()),
    answers,
    hosts,
    draft: (id) => store.view.draft(id),
    newest: (count) => store.trail.newest(SCOPE, count),
    find: async (words) => {
      const query = queryOf(words)
      return query ? store.trail.find(query, SCOPE, MOST_FOUND) : []
    },
    formFor: (does, by) => asked.formFor(does, { by, place: WEB_PLACE }),
    home: (by) => asked.homeFor({ by, place: WEB_PLACE }),
    sheet: async (ref, sheet) => {
      const consult = await here(ref)
      return consult && sheetOf(consult, sheet, store.view)
    },
    consult: async (ref) => {
      const consult = await here(ref)
      if (consult === undefined) return undefined
      const card = await currentCard(store.view, ref, { withWorking: true, picture: planPicture })
      return card && { card, said: saidIn(consult) }
    },
  }
}

const saidIn = ({ comments }: AskedConsult): readonly Said[] =>
  comments.filter(({ deletedAt }) => deletedAt === undefined).map(({ by, at, text }) => ({ by: by.name, at, text }))
