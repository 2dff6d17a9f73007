import { setImmediate } from 'node:timers/promises'
import { type AskedConsult, fold } from '../src/consult/consult.js'
import type { Platform } from '../src/consult/people.js'
import { type Lesson, lessonOf, planInForce } from '../src/learning/lesson.js'
import { type Chosen, chosenConsults } from '../src/trail/chosen-consults.js'
import { isAltered, type Scope, type TrailReading } from '../src/trail/trail-store.js'

export interface LessonsRead {
  readonly consults: number
  readonly lessons: readonly Lesson[]
  /** References of the consults whose plan could not be read, with what was wrong. */
  readonly unread: readonly { readonly ref: string; readonly because: string }[]
  /** How many have an outcome and a plan that was erased, by the department's policy or on request. */
  readonly erased: number
  /** Where the consults were put: how many on each. */
  readonly putOn: Readonly<Partial<Record<Platform, number>>>
}

/** What the chosen consults of a trail teach. They stream through one by one: only the small lessons are held. */
export async function readLessons(
  trail: Pick<TrailReading, 'links' | 'events' | 'plan' | 'planErased'>,
  chosen: Chosen = {},
  scope: Scope = 'everything',
): Promise<LessonsRead> {
  const lessons: Lesson[] = []
  const unread: { readonly ref: string; readonly because: string }[] = []
  const putOn: Partial<Record<Platform, number>> = {}
  let consults = 0
  let erased = 0
  for await (const consult of consultsIn(trail, chosen, scope)) {
    consults += 1
    putOn[consult.place.platform] = (putOn[consult.place.platform] ?? 0) + 1
    // A server that goes through a long trail answers others in between.
    await setImmediate()
    if (consult.outcomes.length === 0) continue
    const hash = planInForce(consult)
    const plan = await trail.plan(hash).catch((fault: unknown) => {
      // A database that does not answer says nothing about the plan.
      if (!isAltered(fault)) throw fault
      unread.push({ ref: consult.ref, because: fault instanceof Error ? fault.message : 'its plan was altered' })
      return 'altered' as const
    })
    if (plan === 'altered') continue
    if (plan === undefined) {
      if (await trail.planErased(hash)) erased += 1
      else unread.push({ ref: consult.ref, because: 'its plan is not in the trail' })
      continue
    }
    try {
      const lesson = lessonOf(consult, plan)
      if (lesson) lessons.push(lesson)
    } catch (fault) {
      unread.push({ ref: consult.ref, because: fault instanceof Error ? fault.message : 'its plan cannot be read' })
    }
  }
  return { consults, lessons, unread, erased, putOn }
}

/** The chosen consults of a trail, folded, in the order in which they were asked. */
export async function* consultsIn(
  trail: Pick<TrailReading, 'links' | 'events'>,
  chosen: Chosen = {},
  scope: Scope = 'everything',
): AsyncGenerator<AskedConsult> {
  for await (const events of chosenConsults(trail, chosen)) {
    const { place } = events[0]
    if (scope !== 'everything' && (place.platform !== scope.platform || place.workspace !== scope.workspace)) continue
    const consult = fold(events)
    if (consult.status !== 'not-asked') yield consult
  }
}
