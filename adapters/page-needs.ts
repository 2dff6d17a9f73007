import { setTimeout } from 'node:timers/promises'
import { identifiersCard } from '../src/cards/short-cards.js'
import { type AskedConsult, fold } from '../src/consult/consult.js'
import type { Person } from '../src/consult/people.js'
import { accessBy } from '../src/desk/access-log.js'
import { currentCard } from '../src/desk/consult-here.js'
import { within } from '../src/desk/deps.js'
import { foundAsCard } from '../src/desk/look-up.js'
import type { Clock, Delivery } from '../src/desk/ports.js'
import { receive } from '../src/desk/receive.js'
import { sheetOf } from '../src/desk/sheets.js'
import type { Store } from '../src/desk/store.js'
import { findIdentifiers } from '../src/intake/identifiers.js'
import type { Scope } from '../src/trail/trail-store.js'
import type { FormsAndHome } from './forms-and-home.js'
import { learningKept } from './learning-kept.js'
import { type LearningSource, lessonsForPage } from './page-learning.js'
import { type PageNeeds, type Said, WEB_PLACE } from './web/page-needs.js'
import type { WaitingAnswers } from './web/waiting.js'

const PER_PAGE = 20

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
  readonly clock: Clock
  /** Absent: the consults that were put on the page. */
  readonly counted?: LearningSource
}

export function pageNeeds({
  store,
  accept,
  answers,
  today,
  hosts,
  asked,
  clock,
  counted = { counts: 'page' },
}: PageParts): PageNeeds {
  const here = async (ref: string) => {
    const consult = fold(await store.trail.events(ref))
    return consult.status === 'not-asked' || !within(SCOPE, consult.place) ? undefined : consult
  }
  // Before it is shown: a look that cannot be noted is not given.
  const noted = (by: Person, seen: Parameters<typeof accessBy>[2]) => store.accessLog.note(accessBy(by, clock.now(), seen))
  return {
    learning: learningKept({
      read: () => lessonsForPage(store.trail, SCOPE, counted),
      today,
      nowMs: () => Date.parse(clock.now()),
      wait: (milliseconds) => setTimeout(milliseconds, undefined, { ref: false }),
    }),
    accept: (inbound, key) => accept(receive(inbound, key, today())),
    receive: (inbound, key) => receive(inbound, key, today()),
    answers,
    hosts,
    draft: (id) => store.view.draft(id),
    newest: (count) => store.trail.newest(SCOPE, count),
    find: async (words, by) => {
      const identifying = findIdentifiers(words, today())
      if (identifying.length > 0) return { card: identifiersCard(identifying), refused: true }
      if (words.trim() !== '') await noted(by, { what: 'searched', words })
      const card = await foundAsCard(words, { by, place: WEB_PLACE }, SCOPE, store.view, PER_PAGE)
      return { card, refused: false }
    },
    formFor: (does, by) => asked.formFor(does, { by, place: WEB_PLACE }),
    home: (by) => asked.homeFor({ by, place: WEB_PLACE }),
    sheet: async (ref, sheet, by) => {
      const consult = await here(ref)
      if (consult) await noted(by, { what: 'viewed', ref, words: sheet })
      return consult && sheetOf(consult, sheet, store.view)
    },
    isHere: async (ref) => (await here(ref)) !== undefined,
    consult: async (ref, by) => {
      const consult = await here(ref)
      if (consult === undefined) return undefined
      await noted(by, { what: 'viewed', ref })
      const card = await currentCard(store.view, ref, { withWorking: true, withPictures: true })
      return card && { card, said: saidIn(consult, by) }
    },
  }
}

const saidIn = ({ comments }: AskedConsult, reader: Person): readonly Said[] =>
  comments
    .filter(({ deletedAt }) => deletedAt === undefined)
    .map(({ by, at, text, message, earlier }) => ({
      by: by.name,
      at,
      text,
      changed: earlier.length > 0,
      ...(message === undefined || by.id !== reader.id ? {} : { own: message }),
    }))
