import type { ConsultAsked, ConsultEvent } from '../consult/events.js'
import type { Link } from './chain.js'
import type { TrailReading } from './trail-store.js'

/** Which consults are wanted: one, or those asked within some days, or all of them. Days are ISO dates in UTC, both included. */
export interface Chosen {
  readonly ref?: string
  readonly from?: string
  readonly to?: string
}

export const isEverything = ({ ref, from, to }: Chosen): boolean => ref === undefined && from === undefined && to === undefined

/** Whether a consult that was asked at this time belongs to the chosen ones. */
export function isChosen(asked: { readonly ref: string; readonly at: string }, { ref, from, to }: Chosen): boolean {
  const day = asked.at.slice(0, 10)
  return (ref === undefined || asked.ref === ref) && (from === undefined || day >= from) && (to === undefined || day <= to)
}

/** The asking that a link holds, or undefined where it holds something else. Free texts stand in it as commitments. */
export function askingIn(link: Pick<Link, 'version' | 'body'>): ConsultAsked | undefined {
  if (link.version !== 1) return undefined
  const event = JSON.parse(link.body) as ConsultEvent
  return event.type === 'consult-asked' ? event : undefined
}

/** The chosen consults in the order in which they were asked, each with all that happened to it. One is held at a time. */
export async function* chosenConsults(
  trail: Pick<TrailReading, 'links' | 'events'>,
  chosen: Chosen,
): AsyncGenerator<readonly [ConsultAsked, ...ConsultEvent[]]> {
  for await (const link of trail.links()) {
    const asking = askingIn(link)
    if (!asking || !isChosen(asking, chosen)) continue
    const [asked, ...after] = await trail.events(link.ref)
    if (asked?.type !== 'consult-asked') throw new Error(`The trail is broken: ${link.ref} does not begin with its asking`)
    yield [asked, ...after]
    if (chosen.ref !== undefined) return
  }
}

const DAY_MS = 24 * 60 * 60 * 1000

/** Whole days, by the calendar in UTC, from one ISO date or time to another. */
export const daysBetween = (from: string, to: string): number =>
  Math.round((Date.parse(to.slice(0, 10)) - Date.parse(from.slice(0, 10))) / DAY_MS)
