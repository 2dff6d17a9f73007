import type { LensList } from '../case/lens-list.js'
import type { Plan } from '../plan/plan.js'
import { oddsOf } from '../risk/capsule-rupture-odds-2009.js'
import { SURGEON_GRADE_WORDS } from '../risk/risk-input.js'
import { frequency } from '../terms/frequency.js'
import { lensPower } from '../terms/power.js'
import { numbersChanged } from './plan-differences.js'

/** The model whose numbers are factors of odds, so that a stored figure is corrected by its own arithmetic. */
export const ODDS_MODEL = 'capsule-rupture-odds-2009'
const REFERENCE = 'probability of the reference patient'

/** Whether a corrected value of this number can be put into plans as they were stored. */
export const isCorrectable = (model: string, coefficient: string): boolean =>
  model === ODDS_MODEL && (coefficient === REFERENCE || coefficient.startsWith('odds ratio, '))

/**
 * What a stored figure of the odds model would have been with another value of one of its numbers: the odds multiplied
 * by the new value over the one that the plan used. Sentences; empty where the plan gave no figure by it.
 * @param coefficient its name, as the model lists it
 * @param was the value that the program has, for the number that stands behind every figure
 */
export function figureCorrected(plan: Plan, coefficient: string, was: number, corrected: number): readonly string[] {
  const risk = plan.risks.find(({ id }) => id === ODDS_MODEL)
  if (risk?.value === undefined) return []
  const counted = risk.factorsUsed.find((used) => namesOf(used).includes(coefficient))
  const before = coefficient === REFERENCE ? oddsOf(was) : Number(/^odds × ([\d.]+)$/.exec(counted?.effect ?? '')?.[1])
  const name = coefficient.replace('odds ratio, ', '')
  if (!Number.isFinite(before)) return [`“${name}” is not counted in its figure, so nothing changes`]
  const after = coefficient === REFERENCE ? oddsOf(corrected) : corrected
  const odds = (oddsOf(risk.value) * after) / before
  return [
    `capsule rupture by the ${risk.model}, ${risk.surgeon ?? 'surgeon not stated'}: ${frequency(risk.value)} → ${frequency(odds / (1 + odds))}`,
    'the recommended lens does not stand on it',
  ]
}

/** What the model may call a factor that was counted. A factor that the eye does not have was not. */
function namesOf({ factor, level }: { readonly factor: string; readonly level: string }): readonly string[] {
  if (level === 'present') return [`odds ratio, ${factor}`]
  if (factor === 'surgeon') {
    const grades = Object.entries(SURGEON_GRADE_WORDS).filter(([, words]) => words === level)
    return grades.map(([grade]) => `odds ratio, surgeon ${grade}`)
  }
  return [`odds ratio, ${level}`, `odds ratio, ${factor} ${level}`, `odds ratio, ${level} ${factor.replace('dilated ', '')}`]
}

/** Constants of a lens by the names that the trade gives them. */
export const LENS_CONSTANTS = ['A', 'SF', 'pACD', 'a0', 'a1', 'a2'] as const
export type LensConstantName = (typeof LENS_CONSTANTS)[number]

/** A list in which one constant of one lens has another value; undefined where the list has no such lens or constant. */
export function listWith(list: LensList, label: string, name: LensConstantName, value: number): LensList | undefined {
  const wanted = label.trim().toLowerCase()
  let found = false
  const lenses = list.lenses.map((lens) => {
    if (lens.label.toLowerCase() !== wanted) return lens
    const { 'srk-t': srkT, 'holladay-1': holladay, 'hoffer-q': hoffer, haigis } = lens.constants
    const constants = {
      A: { ...lens.constants, 'srk-t': { ...srkT, aConstant: value } },
      SF: holladay && { ...lens.constants, 'holladay-1': { ...holladay, surgeonFactorMm: value } },
      pACD: hoffer && { ...lens.constants, 'hoffer-q': { ...hoffer, personalisedAcdMm: value } },
      a0: haigis && { ...lens.constants, haigis: { ...haigis, a0: value } },
      a1: haigis && { ...lens.constants, haigis: { ...haigis, a1: value } },
      a2: haigis && { ...lens.constants, haigis: { ...haigis, a2: value } },
    }[name]
    if (!constants) return lens
    found = true
    return { ...lens, constants }
  })
  return found ? { ...list, lenses } : undefined
}

/**
 * What a corrected constant changes in a past case: the present program with the value that the plan showed against the
 * same program with the corrected one, so that nothing but the constant speaks. Where the program by itself says another
 * lens than the plan did, that is said too.
 */
export function constantCorrected(stored: Plan, withFormer: Plan, withCorrected: Plan): readonly string[] {
  const power = ({ lens }: Plan): string => (lens.recommended ? lensPower(lens.recommended.powerD) : 'none')
  const drift =
    power(stored) === power(withFormer)
      ? []
      : [`with the former value the program says ${power(withFormer)} now where the plan said ${power(stored)}`]
  return [...numbersChanged(withFormer, withCorrected), ...drift]
}
