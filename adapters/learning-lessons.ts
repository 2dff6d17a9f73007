import { setImmediate } from 'node:timers/promises'
import { type AskedConsult, fold } from '../src/consult/consult.js'
import { type Lesson, lessonOf, planInForce } from '../src/learning/lesson.js'
import { type Chosen, chosenConsults } from '../src/trail/chosen-consults.js'
import type { Scope, TrailReading } from '../src/trail/trail-store.js'

export interface LessonsRead {
  readonly consults: number
  readonly lessons: readonly Lesson[]
  /** References of the consults whose plan could not be read, with what was wrong. */
  readonly unread: readonly { readonly ref: string; readonly because: string }[]
}

/** What the chosen consults of a trail teach. They stream through one by one: only the small lessons are held. */
export async function readLessons(
  trail: Pick<TrailReading, 'links' | 'events' | 'plan'>,
  chosen: Chosen = {},
  scope: Scope = 'everything',
): Promise<LessonsRead> {
  const lessons: Lesson[] = []
  const unread: { readonly ref: string; readonly because: string }[] = []
  let consults = 0
  for await (const consult of consultsIn(trail, chosen, scope)) {
    consults += 1
    // A server that goes through a long trail answers others in between.
    await setImmediate()
    if (consult.outcomes.length === 0) continue
    try {
      const plan = await trail.plan(planInForce(consult))
      if (plan === undefined) throw new Error('its plan is not in the trail')
      const lesson = lessonOf(consult, plan)
      if (lesson) lessons.push(lesson)
    } catch (fault) {
      unread.push({ ref: consult.ref, because: fault instanceof Error ? fault.message : 'its plan cannot be read' })
    }
  }
  return { consults, lessons, unread }
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
