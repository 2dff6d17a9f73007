import type { BaseLogger } from 'pino'
import { fold } from '../../src/consult/consult.js'
import type { Place } from '../../src/consult/people.js'
import { type PersonTime, recipientsOfAny, remindersOf } from '../../src/consult/reminders.js'
import type { Clock, Delivery } from '../../src/desk/ports.js'
import { SOUNDINGS } from '../../src/desk/remind.js'
import type { DeskView, Reminding } from '../../src/desk/store.js'
import { type DepartmentTime, timeOf } from './department-time.js'
import { later } from './times.js'

export interface ReminderParts {
  readonly reminding: Reminding
  readonly view: Pick<DeskView, 'events' | 'settings'>
  /** Keeps a reminder as a delivery like any other: durably, and once a key. */
  readonly accept: (delivery: Delivery) => Promise<unknown>
  readonly department: DepartmentTime
  /** Our id of somebody named in words, where the chat of that place knows them. */
  readonly personNamed?: (name: string, place: Place) => Promise<string | undefined>
  readonly clock: Clock
  readonly log: Pick<BaseLogger, 'error'>
}

const AT_ONCE = 20
/** A reminder that was put into the inbox changes its consult, which is looked at again for that; this is for when it does not. */
const LOOK_AGAIN_MS = 60 * 60 * 1000

const OUR_ID = /^(?:slack|teams|web):/

/**
 * Looks at the consults that are due for a look and puts what fell due into the inbox. The key names the consult, the kind
 * and how many events there were, so that no reminder is put twice, by this process or by another one.
 * @returns whether there may be more to look at
 */
export function remindNext(parts: ReminderParts): () => Promise<boolean> {
  const { reminding, view, clock, log } = parts
  return async () => {
    const now = clock.now()
    const refs = await reminding.due(now, AT_ONCE)
    for (const ref of refs) {
      try {
        await lookAt(parts, ref, now)
      } catch (error) {
        log.error({ err: error, consult: ref }, 'the reminders of a consult could not be worked out')
        await reminding.lookNext(ref, (await view.events(ref)).length, later(now, LOOK_AGAIN_MS))
      }
    }
    return refs.length === AT_ONCE
  }
}

async function lookAt(
  { reminding, view, accept, department, personNamed, clock }: ReminderParts,
  ref: string,
  now: string,
): Promise<void> {
  const events = await view.events(ref)
  const consult = fold(events)
  if (consult.status === 'not-asked') return reminding.lookNext(ref, events.length, undefined)
  const times = new Map<string, PersonTime>()
  for (const person of recipientsOfAny(consult)) {
    const id = OUR_ID.test(person) ? person : await personNamed?.(person, consult.place)
    times.set(person, { ...timeOf(await view.settings(id ?? person), department, now), ...(id === undefined ? {} : { id }) })
  }
  const standard = timeOf(undefined, department, now)
  const { due, lookAt } = remindersOf(consult, (person) => times.get(person) ?? standard, now)
  for (const { kind, to } of due) {
    const inbound = { kind: 'reminder', ref, reminder: kind, to, by: SOUNDINGS, place: consult.place, reply: {} } as const
    await accept({ key: `reminder:${ref}:${kind}:${events.length}`, inbound })
  }
  const next = due.length > 0 ? later(clock.now(), LOOK_AGAIN_MS) : lookAt
  await reminding.lookNext(ref, events.length, next)
}
