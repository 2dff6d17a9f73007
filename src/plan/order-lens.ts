import type { Case } from '../case/case.js'
import { lensPower, refraction } from '../terms/power.js'
import type { EyeForLens } from './formula-rows.js'
import { type LensAnswer, withLeaves } from './lens-answer.js'
import { lowestOnMyopicSide } from './lens-choice.js'
import type { Plan } from './plan.js'
import type { ExistingPower } from './powers-that-exist.js'

const DAY_MS = 86_400_000
const midnight = (iso: string): number => Date.parse(`${iso}T00:00:00Z`)
const isWeekend = (time: number): boolean => [0, 6].includes(new Date(time).getUTCDay())

/**
 * The last day to order on, so that the lens is there on the day before surgery or earlier. Saturdays and Sundays are not
 * working days; public holidays are not known here.
 * @param surgeryDate ISO date
 * @param workingDays until it is delivered
 * @returns ISO date
 */
export function orderBy(surgeryDate: string, workingDays: number): string {
  let time = midnight(surgeryDate)
  for (let left = workingDays; left > 0; ) {
    time -= DAY_MS
    if (!isWeekend(time)) left -= 1
  }
  while (isWeekend(time)) time -= DAY_MS
  return new Date(time).toISOString().slice(0, 10)
}

type Ordering = NonNullable<NonNullable<Plan['lens']['recommended']>['ordering']>

/**
 * What must be ordered and by when, with the best that can be had without ordering.
 * @returns undefined for a lens that is in stock or whose supply is not known
 */
export function orderingOf(known: Case, eye: EyeForLens, answer: LensAnswer, chosen: ExistingPower): Ordering | undefined {
  if (chosen.supply !== 'to-order') return undefined
  const { orderDays } = chosen
  const date = known.surgeryDate?.value
  const inStock = answer.powers.filter(({ supply }) => supply === 'in-stock')
  const next = lowestOnMyopicSide(answer.basis.rows, eye.target, inStock)
  const withoutOrdering = next && withLeaves(answer, next)
  const by = date === undefined || orderDays === undefined ? undefined : orderBy(date, orderDays)
  const when =
    orderDays === undefined
      ? 'The lens list does not say how long it takes: ask the supplier.'
      : by === undefined
        ? `It takes ${orderDays} working days: the day of surgery was not stated.`
        : `Order by ${by} (${orderDays} working days before ${date}; public holidays not counted). If that day is past, it is too late: postpone, or choose again.`
  const instead = withoutOrdering
    ? `Without ordering: ${lensPower(withoutOrdering.powerD)}, which leaves ${refraction(withoutOrdering.leaves.highD)} to ${refraction(withoutOrdering.leaves.lowD)}.`
    : 'Nothing in stock lies on the myopic side of the target.'
  return {
    ...(orderDays === undefined ? {} : { days: orderDays }),
    ...(by === undefined ? {} : { by }),
    words: `${lensPower(chosen.powerD)} must be ordered. ${when} ${instead}`,
    ...(withoutOrdering ? { withoutOrdering } : {}),
  }
}

/** Whether the day to order by has passed. Dates are ISO. */
export const isTooLate = (ordering: Ordering, today: string): boolean =>
  ordering.by !== undefined && today.slice(0, 10) > ordering.by

/** The widest step that a range of lenses usually has, dioptres: a wider one is a gap. */
const USUAL_STEP_D = 1

/** Gaps in the powers that a lens is made in, lowest first. */
export function gapsInRange(powers: readonly ExistingPower[]): { readonly belowD: number; readonly aboveD: number }[] {
  return powers.flatMap(({ powerD }, place) => {
    const next = powers[place + 1]?.powerD
    return next !== undefined && next - powerD > USUAL_STEP_D ? [{ belowD: powerD, aboveD: next }] : []
  })
}

/** A gap that holds what this eye asks for, in words; undefined when none does. */
export function gapThatMatters(answer: LensAnswer): string | undefined {
  const asked = answer.basis.rows.flatMap(({ powerForTarget }) => (powerForTarget === undefined ? [] : [powerForTarget]))
  const hit = gapsInRange(answer.powers).find(({ belowD, aboveD }) => asked.some((power) => power > belowD && power < aboveD))
  return hit && `This lens is not made between ${lensPower(hit.belowD)} and ${lensPower(hit.aboveD)}, where this eye asks for it.`
}
