import type { Plan } from '../plan/plan.js'
import { FORMULA_NAMES } from '../terms/formulas.js'
import { lensPower, signed } from '../terms/power.js'

/** Powers of the same row further apart than this are told, dioptres: below it no lens that exists would change. */
const TOLD_FROM_D = 0.01

const none = 'none'

/**
 * What the present formulas and coefficients say of a past case that its stored plan did not: sentences, empty where
 * they agree. Findings of rules are compared apart, by the rule sets.
 * @param before the plan as it was stored
 * @param after the same case computed on the present ground
 */
export function numbersChanged(before: Plan, after: Plan): readonly string[] {
  return [
    ...lensChange(before, after),
    ...rowChanges(before, after),
    ...riskChanges(before, after),
    ...figureChanges(before, after),
  ]
}

function lensChange(before: Plan, after: Plan): readonly string[] {
  const power = ({ lens }: Plan) => (lens.recommended ? lensPower(lens.recommended.powerD) : none)
  const backup = ({ lens }: Plan) => lens.backup?.lens && lensPower(lens.backup.lens.powerD)
  // With another lens list there is another backup lens, or none: that is no change of the numbers.
  const [was, is] = [backup(before), backup(after)]
  return [
    ...(power(before) === power(after) ? [] : [`recommended lens ${power(before)} → ${power(after)}`]),
    ...(was === undefined || is === undefined || was === is ? [] : [`backup lens ${was} → ${is}`]),
  ]
}

const rowName = ({ formula, adjustment }: Plan['lens']['formulas'][number]): string =>
  adjustment === 'none' ? FORMULA_NAMES[formula] : `${FORMULA_NAMES[formula]} (${adjustment})`

function rowChanges(before: Plan, after: Plan): readonly string[] {
  return before.lens.formulas.flatMap((row) => {
    const now = after.lens.formulas.find((one) => one.formula === row.formula && one.adjustment === row.adjustment)
    const [was, is] = [row.powerForTargetD, now?.powerForTargetD]
    if (was === undefined && is === undefined) return []
    if (was !== undefined && is !== undefined && Math.abs(was - is) < TOLD_FROM_D) return []
    return [`${rowName(row)} asks for ${rounded(was)} → ${rounded(is)}`]
  })
}

const rounded = (powerD: number | undefined): string => (powerD === undefined ? none : `${signed(powerD, 2)} D`)

function riskChanges(before: Plan, after: Plan): readonly string[] {
  return before.risks.flatMap((risk) => {
    const now = after.risks.find(({ id }) => id === risk.id)
    return now?.words === risk.words ? [] : [`${risk.words} → ${now?.words ?? none}`]
  })
}

function figureChanges(before: Plan, after: Plan): readonly string[] {
  return before.surgery.flatMap((figure) => {
    const now = after.surgery.find(({ id }) => id === figure.id)
    return now?.words === figure.words ? [] : [`${figure.words} → ${now?.words ?? none}`]
  })
}

type Finding = Plan['precautions'][number]['finding']

/**
 * What a rule set finds in a past case that its stored plan did not show, and the other way round: sentences by rule.
 * Tensions are stored only where they were put, so that only their coming and going can be told.
 * @param now what each rule finds, by id
 */
export function findingsChanged(plan: Plan, now: ReadonlyMap<string, Finding>): readonly string[] {
  const stored = new Map<string, Finding>([
    ...plan.precautions.map(({ id, finding }) => [id, finding] as const),
    ...plan.tensions.map(({ id }) => [id, 'fires'] as const),
  ])
  return [...new Set([...stored.keys(), ...now.keys()])].sort().flatMap((id) => {
    const [was, is] = [stored.get(id), now.get(id) ?? 'absent']
    if (was === is || (was === undefined && is !== 'fires')) return []
    return [`${id}: ${was ?? 'not shown'} → ${is}`]
  })
}
