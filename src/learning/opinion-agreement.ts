import { OPINIONS, type OpinionKind } from '../consult/opinion.js'
import type { Lesson } from './lesson.js'
import { type Share, shareOf } from './statistics.js'

/** Shares over fewer consults than this are not given. */
export const FEWEST_CONSULTS = 5

/** Opinions that expected trouble; the others expected none, with their changes made. */
export const CAUTIOUS: readonly OpinionKind[] = ['need-this-first', 'not-this-surgeon-alone', 'do-not-operate-on-this-plan']

export interface OpinionAgreement {
  readonly kind: OpinionKind
  /** Operated consults with a known outcome in which somebody's last opinion was of this kind. */
  readonly consults: number
  /** In how many of them the case was changed after it: a caution that was heeded leaves no trace in the outcome. */
  readonly changedAfter?: number
  /** Absent below `FEWEST_CONSULTS`. */
  readonly complication?: Share
  readonly surprise?: Share
  /** Trouble after a cautious opinion, none after another. */
  readonly agreed?: Share
}

/**
 * How often the outcome was as the opinion had it, one count a consult and kind: several colleagues of one mind about
 * one eye are not several outcomes.
 */
export function opinionAgreement(lessons: readonly Lesson[]): readonly OpinionAgreement[] {
  return OPINIONS.map((kind) => {
    const own = lessons.flatMap(({ trouble, opinions }) => {
      const given = opinions.filter((opinion) => opinion.kind === kind)
      return trouble === undefined || given.length === 0
        ? []
        : [{ ...trouble, changedAfter: given.some((one) => one.changedAfter) }]
    })
    if (own.length < FEWEST_CONSULTS) return { kind, consults: own.length }
    const share = (holds: (one: (typeof own)[number]) => boolean) => shareOf(own.filter(holds).length, own.length)
    const [complication, surprise] = [share((one) => one.complication), share((one) => one.surprise)]
    const agreed = share((one) => (one.complication || one.surprise) === CAUTIOUS.includes(kind))
    return {
      kind,
      consults: own.length,
      changedAfter: own.filter((one) => one.changedAfter).length,
      ...(complication ? { complication } : {}),
      ...(surprise ? { surprise } : {}),
      ...(agreed ? { agreed } : {}),
    }
  })
}
