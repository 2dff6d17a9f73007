import type { ConsultEvent } from '../consult/events.js'
import { commitmentsOf, GENESIS, type Link } from './chain.js'
import { planHashIn } from './export-lines.js'
import { isAltered, type TrailReading } from './trail-store.js'
import { type Verdict, verifyChain } from './verify.js'

type Broken = Extract<Verdict, { intact: false }>

/** The first place where the trail is not as it was written. */
export type Fault = Omit<Broken, 'fault' | 'intact'> & {
  readonly fault: Broken['fault'] | 'plan-missing' | 'plan-altered' | 'consult-broken'
}

export interface Examination {
  /** Absent when every event, text and plan is as it was written. */
  readonly fault?: Fault
  /** What was read before the fault, or in all. */
  readonly events: number
  readonly consults: number
  readonly plans: number
  /** Plans that were erased: their events stand. */
  readonly erasedPlans: number
  readonly texts: number
  /** Texts that were erased: their events stand, their words are gone. */
  readonly erasedTexts: number
  /** Hash of the last event that was read and is as it was written. */
  readonly head: string
  /** The position of the event whose hash was noted as a checkpoint; `not-found` when no event has it. */
  readonly checkpoint?: number | 'not-found'
}

/**
 * Reads the whole trail in order: each link against its hash and the one before it, each text against its commitment,
 * each plan against its hash, each consult against the order of its events.
 * A trail cut at its end is whole in itself; only a `checkpoint` (a head noted elsewhere) shows that something is gone.
 */
export async function examineTrail(
  trail: Pick<TrailReading, 'links' | 'keptText' | 'plan' | 'planErased'>,
  checkpoint?: string,
): Promise<Examination> {
  const counts = { events: 0, consults: 0, plans: 0, erasedPlans: 0, texts: 0, erasedTexts: 0 }
  let head = GENESIS
  let noted: number | undefined = checkpoint === GENESIS ? 0 : undefined
  let found: Fault | undefined

  // A link is looked at once the chain has taken it, so that its content is known to be what was written.
  async function* watched(): AsyncGenerator<Link> {
    for await (const link of trail.links()) {
      yield link
      found = await faultIn(link)
      if (found) return
      counts.events += 1
      head = link.hash
      if (link.hash === checkpoint) noted = link.position
    }
  }

  async function faultIn(link: Link): Promise<Fault | undefined> {
    const fault = (kind: Fault['fault'], words: string): Fault => ({
      position: link.position,
      ref: link.ref,
      fault: kind,
      words: `Event ${link.position} (${link.ref}): ${words}`,
    })
    const event = JSON.parse(link.body) as ConsultEvent
    if ((event.type === 'consult-asked') !== (link.version === 1)) {
      return fault(
        'consult-broken',
        link.version === 1 ? 'its consult does not begin with its asking' : 'its consult is asked a second time',
      )
    }
    if (link.version === 1) counts.consults += 1
    for (const commitment of commitmentsOf(link)) {
      counts.texts += 1
      if ((await trail.keptText(commitment)) === 'erased') counts.erasedTexts += 1
    }
    const hash = planHashIn(event)
    if (hash === undefined) return undefined
    counts.plans += 1
    try {
      if ((await trail.plan(hash)) !== undefined) return undefined
      if (!(await trail.planErased(hash))) return fault('plan-missing', 'the plan it names is gone without having been erased')
      counts.erasedPlans += 1
      return undefined
    } catch (error) {
      // A database that does not answer says nothing about the plan.
      if (!isAltered(error)) throw error
      return fault('plan-altered', 'the plan it names is not the plan that was written')
    }
  }

  const verdict = await verifyChain(watched(), trail.keptText).catch((error: unknown) => unreadable(error))
  const fault = verdict.intact
    ? found
    : { position: verdict.position, ref: verdict.ref, fault: verdict.fault, words: verdict.words }
  // A body that was exchanged together with its hash may be no event at all.
  function unreadable(error: unknown): Broken {
    const position = counts.events + 1
    const why = error instanceof Error ? error.message : String(error)
    return {
      intact: false,
      position,
      ref: 'unknown',
      fault: 'event-altered',
      words: `Event ${position}: it cannot be read (${why})`,
    }
  }

  return {
    ...(fault ? { fault } : {}),
    ...counts,
    head,
    ...(checkpoint === undefined ? {} : { checkpoint: noted ?? 'not-found' }),
  }
}
