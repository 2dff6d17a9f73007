import type { CompiledRules } from './compile.js'
import type { FactRecord } from './facts.js'
import type { Finding } from './kleene.js'

/** What a changed rule set says of one eye that the other does not. */
export interface FindingChange {
  /** A precaution or a tension. */
  readonly id: string
  /** `absent` where the rule set does not hold it. */
  readonly before: Finding | 'absent'
  readonly after: Finding | 'absent'
}

/**
 * Which precautions and tensions one eye gains, loses, or sees decided otherwise. Sorted by id.
 * @param before the rule set as it was
 * @param after the changed one
 * @param facts of one past case, null where not known
 */
export function changedFindings(before: CompiledRules, after: CompiledRules, facts: FactRecord): readonly FindingChange[] {
  const was = byId(before, facts)
  const is = byId(after, facts)
  return [...new Set([...was.keys(), ...is.keys()])]
    .sort()
    .map((id): FindingChange => ({ id, before: was.get(id) ?? 'absent', after: is.get(id) ?? 'absent' }))
    .filter((change) => change.before !== change.after)
}

function byId({ ids, findings }: CompiledRules, facts: FactRecord): ReadonlyMap<string, Finding> {
  const found = findings(facts)
  return new Map(ids.flatMap((id, at) => (found[at] === undefined ? [] : [[id, found[at]] as const])))
}

/** How often a rule change touches one precaution or tension over many cases. */
export interface Touched {
  readonly id: string
  /** Cases in which it fires now and did not before. */
  readonly gained: number
  /** Cases in which it fired before and no longer does. */
  readonly lost: number
  /** Cases in which it changes between quiet, unknown and absent. */
  readonly otherwise: number
}

export type Effect = Exclude<keyof Touched, 'id'>

export const effectOf = ({ before, after }: FindingChange): Effect =>
  after === 'fires' ? 'gained' : before === 'fires' ? 'lost' : 'otherwise'

/** Counts changes case by case, so that a whole trail can stream through. */
export function tally(): {
  readonly add: (changes: readonly FindingChange[]) => void
  readonly touched: () => readonly Touched[]
} {
  const counts = new Map<string, Record<Effect, number>>()
  return {
    add: (changes) => {
      for (const change of changes) {
        const count = counts.get(change.id) ?? { gained: 0, lost: 0, otherwise: 0 }
        count[effectOf(change)] += 1
        counts.set(change.id, count)
      }
    },
    touched: () =>
      [...counts]
        .map(([id, count]) => ({ id, ...count }))
        .toSorted(
          (one, other) =>
            other.gained + other.lost - (one.gained + one.lost) ||
            other.otherwise - one.otherwise ||
            (one.id < other.id ? -1 : 1),
        ),
  }
}
