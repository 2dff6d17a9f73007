import type { Card } from '../cards/card.js'
import { eyeInWords } from '../cards/case-words.js'
import { foundCard, searchFaultsCard } from '../cards/found-card.js'
import { hardFacts } from '../cards/hard-facts.js'
import type { Plan } from '../plan/plan.js'
import { lensPower } from '../terms/power.js'
import type { Scope } from '../trail/trail-store.js'
import { accessBy } from './access-log.js'
import type { Looking } from './audience.js'
import type { DeskDeps } from './deps.js'
import { guidance } from './guidance.js'
import type { Inbound } from './ports.js'
import { only } from './replies.js'
import type { Rooms } from './rooms.js'
import { type SearchView, searchTrail } from './search-trail.js'
import type { DeskView, Effects } from './store.js'

/** As many as a phone shows without much scrolling. */
const PER_PAGE = 5

/** Past consults by words, ranges, people, days and outcomes. What was looked for is noted, whatever was found. */
export async function findConsults(inbound: Inbound, said: string, view: DeskView, deps: DeskDeps): Promise<Effects> {
  if (said.trim() === '')
    return only(inbound, guidance('Say what to find: a fact, a step, a word of the question, a person or a reference.'))
  const { by } = inbound
  const card = await foundAsCard(said, inbound, deps.reach(inbound.place), view, PER_PAGE, deps.rooms)
  return { ...only(inbound, card), accesses: [accessBy(by, deps.clock.now(), { what: 'searched', words: said })] }
}

/** What a search finds for this person from where they are, or what was not understood of it. */
export async function foundAsCard(
  said: string,
  looking: Looking,
  scope: Scope,
  view: SearchView,
  perPage: number,
  rooms?: Rooms,
): Promise<Card> {
  const found = await searchTrail(said, looking, scope, perPage, view, rooms)
  if (found.kind === 'faults') return searchFaultsCard(found.faults)
  const { words, page, hits, total, notStated, lookedThroughAll } = found
  const results = hits.map(({ row, plan, excerpt }) => ({
    ref: row.ref,
    askedAt: row.askedAt,
    askedBy: row.askedBy,
    opinions: row.opinions,
    ...(plan ? { about: aboutPlan(plan) } : {}),
    ...(excerpt === undefined ? {} : { excerpt }),
    ...(row.outcome === undefined ? {} : { outcome: row.outcome }),
  }))
  return foundCard(words, results, { page, perPage, total, notStated, lookedThroughAll })
}

/** The eye, the lens and what was hard, in a line. */
export const aboutPlan = (plan: Plan): string =>
  [eyeInWords(plan.case), ...(plan.lens.recommended ? [lensPower(plan.lens.recommended.powerD)] : []), ...hardFacts(plan)].join(
    ' · ',
  )
