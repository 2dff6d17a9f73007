import type { Card } from '../cards/card.js'
import { consultCard } from '../cards/consult-card.js'
import { erasedCard } from '../cards/short-cards.js'
import { type AskedConsult, fold } from '../consult/consult.js'
import type { Place } from '../consult/people.js'
import type { Scope } from '../trail/trail-store.js'
import { asShown } from './as-shown.js'
import { type Looking, maySeeConsult } from './audience.js'
import { type DeskDeps, within } from './deps.js'
import { similarBefore } from './similar-here.js'
import type { DeskView } from './store.js'

/** A consult as it stands and how many events have made it so. */
export interface StandingConsult {
  readonly consult: AskedConsult
  readonly events: number
}

/** The consult of this reference, where somebody within this scope may see it. */
export async function consultHere(
  view: Pick<DeskView, 'events'>,
  ref: string,
  scope: Scope,
): Promise<StandingConsult | undefined> {
  const events = await view.events(ref)
  const consult = fold(events)
  return consult.status !== 'not-asked' && within(scope, consult.place) ? { consult, events: events.length } : undefined
}

/** The consult of this reference, where this person may see it from where they are. */
export async function consultFor(
  looking: Looking,
  ref: string,
  view: Pick<DeskView, 'events'>,
  deps: Pick<DeskDeps, 'reach' | 'rooms'>,
): Promise<StandingConsult | undefined> {
  const scope = deps.reach(looking.place)
  const here = await consultHere(view, ref, scope)
  return here && (await maySeeConsult(looking, here.consult, scope, deps.rooms)) ? here : undefined
}

/** The consult that the thread of this place belongs to. */
export async function consultOfThread(view: DeskView, place: Place): Promise<StandingConsult | undefined> {
  const ref = await view.consultInThread(place)
  return ref === undefined ? undefined : consultHere(view, ref, 'everything')
}

export interface CardOptions {
  /** Draws the plan and its risks, where the place can show pictures. */
  readonly withPictures?: boolean
  readonly withWorking?: boolean
}

/** What a card is made from. */
export type CardView = Pick<DeskView, 'events' | 'plan' | 'similarRows' | 'rowsOf' | 'audienceOf'>

/** A consult's card as it stands now; undefined where there is no such consult. */
export async function currentCard(view: CardView, ref: string, options: CardOptions = {}): Promise<Card | undefined> {
  const here = await consultHere(view, ref, 'everything')
  return here && cardOf(view, here.consult, options)
}

export async function cardOf(view: Omit<CardView, 'events'>, whole: AskedConsult, options: CardOptions = {}): Promise<Card> {
  const consult = asShown(whole)
  const plan = await view.plan(consult.planHash)
  // Gone for good: one that is merely lost is found by whoever examines the trail.
  if (!plan) return erasedCard(consult.ref)
  return consultCard({
    ref: consult.ref,
    plan,
    askedBy: consult.askedBy,
    ...(consult.question === undefined ? {} : { question: consult.question }),
    revision: consult.revision,
    opinions: consult.opinions,
    comments: consult.comments.filter(({ deletedAt }) => deletedAt === undefined).length,
    consult,
    similar: await similarBefore(consult, plan, view),
    openedAt: consult.askedAt,
    ...(options.withPictures === undefined ? {} : { withPictures: options.withPictures }),
    ...(options.withWorking === undefined ? {} : { withWorking: options.withWorking }),
  })
}
