import type { Plan } from '../plan/plan.js'
import { canonicalJson, contentHash } from './chain.js'
import { planHashIn } from './export-lines.js'
import type { TrailReading } from './trail-store.js'

/** A stored plan that is not what the same case gives now under the same versions. */
export interface Differing {
  /** Of the first event that names it. */
  readonly position: number
  readonly ref: string
  /** Where it differs, with what was stored and what is computed; no more than a few. */
  readonly where: readonly string[]
}

export interface Recomputed {
  /** Plans made under the versions that this program has now. */
  readonly compared: number
  /** Plans made under others: they are read as they were, and cannot be made again here. */
  readonly otherVersions: number
  readonly differing: readonly Differing[]
}

const WHERE_NAMED = 3

/**
 * Makes each stored plan again that was made under the present versions, and compares it with what was stored, to the bit.
 * What was shown is what is stored, whatever comes of this.
 * @param recompute the plan of a case on the present ground
 */
export async function recomputePlans(
  trail: Pick<TrailReading, 'links' | 'plan'>,
  recompute: (known: Plan['case']) => Promise<Plan>,
): Promise<Recomputed> {
  const seen = new Set<string>()
  const differing: Differing[] = []
  let compared = 0
  let otherVersions = 0
  let present: string | undefined
  for await (const { position, ref, body } of trail.links()) {
    const hash = planHashIn(JSON.parse(body) as object)
    if (hash === undefined || seen.has(hash)) continue
    seen.add(hash)
    const stored = await trail.plan(hash)
    if (!stored) continue
    const versions = canonicalJson(stored.versions)
    if (present !== undefined && versions !== present) {
      otherVersions += 1
      continue
    }
    const anew = await recompute(stored.case)
    present = canonicalJson(anew.versions)
    if (versions !== present) {
      otherVersions += 1
      continue
    }
    compared += 1
    if (contentHash(anew) !== hash) differing.push({ position, ref, where: differences(stored, anew).slice(0, WHERE_NAMED) })
  }
  return { compared, otherVersions, differing }
}

/** Each place where two JSON values differ, as `path: one → other`. */
function differences(one: unknown, other: unknown, path = ''): readonly string[] {
  if (isObject(one) && isObject(other)) {
    const keys = [...new Set([...Object.keys(one), ...Object.keys(other)])].sort()
    return keys.flatMap((key) => differences(one[key], other[key], path === '' ? key : `${path}.${key}`))
  }
  const [before, after] = [shown(one), shown(other)]
  return before === after ? [] : [`${path}: ${before} → ${after}`]
}

const isObject = (value: unknown): value is Readonly<Record<string, unknown>> => typeof value === 'object' && value !== null

const shown = (value: unknown): string => (value === undefined ? 'none' : canonicalJson(value))
