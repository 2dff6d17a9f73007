import { INDICATORS, type Indicator, STEPS, type Step } from '../terms/steps.js'
import type { Finding } from './kleene.js'

/** More critical cautions than this are not read; the rest is counted, never dropped. */
export const MOST_CRITICAL_SHOWN = 5

/** What ordering needs to know of a precaution; a plan's own precautions have it. */
export interface Orderable {
  readonly id: string
  readonly indicator: Indicator
  readonly step: Step
  readonly finding: Finding
  readonly place: 'eye' | 'checklist'
  readonly harm: number
  readonly changeableBefore: boolean
  readonly advice?: string | undefined
  readonly missingFacts: readonly string[]
}

/** A caution, and the others that say the same. */
export interface Caution<Precaution extends Orderable> {
  readonly precaution: Precaution
  readonly alsoFrom: readonly Precaution[]
}

export interface OrderedPrecautions<Precaution extends Orderable> {
  /** The gravest critical cautions of this eye, at most five. */
  readonly critical: readonly Caution<Precaution>[]
  /** The critical ones beyond five, to be counted on the first screen and read below it. */
  readonly furtherCritical: readonly Caution<Precaution>[]
  /** Warnings, then information, step by step. Steps without any are left out. */
  readonly bySteps: readonly { readonly step: Step; readonly cautions: readonly Caution<Precaution>[] }[]
  /**
   * What cannot be decided, gravest first; what the same facts would decide is asked once. Nothing is asked whose advice is
   * given anyway.
   */
  readonly toAsk: readonly Caution<Precaution>[]
  /** What holds for every operation, step by step. Never among the cautions of this eye. */
  readonly checklist: readonly Precaution[]
}

/** Few and in order: what a reader sees of all findings. */
export function orderPrecautions<Precaution extends Orderable>(findings: readonly Precaution[]): OrderedPrecautions<Precaution> {
  const eye = findings.filter(({ place }) => place === 'eye')
  const firing = merged(
    eye.filter(({ finding }) => finding === 'fires'),
    ({ id, advice }) => (advice === undefined ? `id ${id}` : `advice ${advice}`),
  )
  const critical = firing.filter(({ precaution }) => precaution.indicator === 'critical')
  const others = firing.filter(({ precaution }) => precaution.indicator !== 'critical')
  const given = new Set(firing.map(({ precaution }) => precaution.advice).filter((advice) => advice !== undefined))
  const open = eye.filter(({ finding, advice }) => finding === 'unknown' && !(advice !== undefined && given.has(advice)))
  return {
    critical: critical.slice(0, MOST_CRITICAL_SHOWN),
    furtherCritical: critical.slice(MOST_CRITICAL_SHOWN),
    bySteps: STEPS.map((step) => ({ step, cautions: others.filter(({ precaution }) => precaution.step === step) })).filter(
      ({ cautions }) => cautions.length > 0,
    ),
    toAsk: merged(open, ({ missingFacts }) => missingFacts.join(' ')),
    checklist: findings
      .filter(({ place, finding }) => place === 'checklist' && finding === 'fires')
      .toSorted((one, other) => stepRank(one) - stepRank(other) || gravity(one, other)),
  }
}

/** Gravest first; of those with the same key the gravest speaks and names the others. */
function merged<Precaution extends Orderable>(
  findings: readonly Precaution[],
  keyOf: (precaution: Precaution) => string,
): readonly Caution<Precaution>[] {
  const cautions = new Map<string, { readonly precaution: Precaution; readonly alsoFrom: Precaution[] }>()
  for (const precaution of findings.toSorted(gravity)) {
    const gravest = cautions.get(keyOf(precaution))
    if (gravest === undefined) cautions.set(keyOf(precaution), { precaution, alsoFrom: [] })
    else gravest.alsoFrom.push(precaution)
  }
  return [...cautions.values()]
}

const stepRank = ({ step }: Orderable): number => STEPS.indexOf(step)

/** By indicator, harm, what can still be changed before surgery, step; then by id, so that the order never depends on chance. */
const gravity = (one: Orderable, other: Orderable): number =>
  INDICATORS.indexOf(one.indicator) - INDICATORS.indexOf(other.indicator) ||
  one.harm - other.harm ||
  Number(other.changeableBefore) - Number(one.changeableBefore) ||
  stepRank(one) - stepRank(other) ||
  (one.id < other.id ? -1 : one.id > other.id ? 1 : 0)
