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
