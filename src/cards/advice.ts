import type { Plan, Precaution } from '../plan/plan.js'
import { INDICATORS, STEPS } from '../terms/steps.js'

/** What is advised once, though several precautions may advise it. */
export interface Advice {
  /** The gravest of them. */
  readonly lead: Precaution
  readonly others: readonly Precaution[]
}

/** Gravest harm first, then the order of the operation, then id, so that the same plan always reads the same. */
export const byHarm = (one: Precaution, other: Precaution): number =>
  one.harm - other.harm || STEPS.indexOf(one.step) - STEPS.indexOf(other.step) || (one.id < other.id ? -1 : 1)

/** What fired for this eye; precautions with the same advice are one. */
export function adviceForThisEye(plan: Plan): readonly Advice[] {
  const together = new Map<string, Precaution[]>()
  for (const one of plan.precautions) {
    if (one.finding !== 'fires' || one.place !== 'eye') continue
    const key = one.advice === undefined ? `id ${one.id}` : `advice ${one.advice}`
    together.set(key, [...(together.get(key) ?? []), one])
  }
  return [...together.values()].flatMap((group) => {
    const [lead, ...others] = [...group].sort(
      (one, other) => INDICATORS.indexOf(one.indicator) - INDICATORS.indexOf(other.indicator) || byHarm(one, other),
    )
    return lead === undefined ? [] : [{ lead, others }]
  })
}
