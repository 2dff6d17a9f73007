import { type Learning, learnFrom } from '../src/learning/learning.js'
import type { CountedLessons } from './page-learning.js'
import type { LearningNeeds } from './web/page-needs.js'

interface LearningKeptParts {
  /** Goes through the trail. */
  readonly read: () => Promise<CountedLessons>
  /** The department's own day, ISO date. */
  readonly today: () => string
  /** Milliseconds that only ever grow. */
  readonly nowMs: () => number
  /** Resolves after some milliseconds. */
  readonly wait: (milliseconds: number) => Promise<unknown>
}

/**
 * A short trail is gone through again almost at once, so that whoever has just recorded an outcome finds it in the
 * figures; a long one at most every few minutes, so that its reading is a small part of what the server does.
 */
const KEPT_TIMES_ITS_READING = 20
const KEPT_AT_MOST_MS = 5 * 60_000
/** Longer than this nobody looks at an empty window; the reading goes on without them. */
const PATIENCE_MS = 5_000

/**
 * Figures for a page: the trail is gone through once for everybody who asks within a while, however many ask at once,
 * and each rate is worked out once. A reading that failed is not kept.
 */
export function learningKept({ read, today, nowMs, wait }: LearningKeptParts): LearningNeeds['learning'] {
  let kept: { readonly until: number; readonly read: CountedLessons; readonly byRate: Map<string, Learning> } | undefined
  let reading: Promise<void> | undefined

  const refreshed = (): Promise<void> => {
    const began = nowMs()
    reading ??= read()
      .then((found) => {
        const ended = nowMs()
        const keptFor = Math.min(KEPT_AT_MOST_MS, KEPT_TIMES_ITS_READING * (ended - began))
        kept = { until: ended + keptFor, read: found, byRate: new Map() }
      })
      .finally(() => {
        reading = undefined
      })
    return reading
  }

  return async (baseRate) => {
    if (kept === undefined || nowMs() >= kept.until) {
      const fresh = refreshed()
      // A reading that fails after patience has run out is begun anew by whoever asks next.
      fresh.catch(() => {})
      await Promise.race([fresh, wait(PATIENCE_MS)])
    }
    // Figures that are a little older are better than none.
    if (kept === undefined) return 'being-read'
    const { consults, lessons, unread, erased, operations, drawnFrom } = kept.read
    const learning =
      kept.byRate.get(baseRate.id) ??
      learnFrom(lessons, { made: today(), consults, unread: unread.length, erased, operations, drawnFrom, baseRate })
    kept.byRate.set(baseRate.id, learning)
    return learning
  }
}
