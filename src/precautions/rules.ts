import { createHash } from 'node:crypto'
import type { Trigger } from './condition.js'
import type { PrecautionRule, TensionRule } from './schema.js'

export const SHIPPED = 'shipped'

export type LayeredRule = Omit<PrecautionRule, 'layer'> & { readonly layer: string }
export type LayeredTension = Omit<TensionRule, 'layer'> & { readonly layer: string }

/** A shipped precaution that a department does not use, and why. */
export interface SwitchedOff {
  readonly id: string
  readonly layer: string
  readonly because: string
}

/** The rules that speak, checked and in a fixed order. Made by `buildRuleSet` only. */
export interface RuleSet {
  /** SHA-256 over the content: two rule sets with the same version say the same, whatever files they came from. */
  readonly version: string
  readonly precautions: readonly LayeredRule[]
  readonly tensions: readonly LayeredTension[]
  readonly switchedOff: readonly SwitchedOff[]
}

const byId = (one: { readonly id: string }, other: { readonly id: string }): number =>
  one.id < other.id ? -1 : one.id > other.id ? 1 : 0

export function ruleSetOf(
  precautions: readonly LayeredRule[],
  tensions: readonly LayeredTension[],
  switchedOff: readonly SwitchedOff[],
): RuleSet {
  const content = {
    precautions: precautions.toSorted(byId),
    tensions: tensions.toSorted(byId),
    switchedOff: switchedOff.toSorted(byId),
  }
  return { version: contentHash(content), ...content }
}

/** SHA-256 of the value as JSON with sorted field names, in hexadecimal. */
export const contentHash = (value: unknown): string => createHash('sha256').update(canonical(value)).digest('hex')

/** JSON with field names in code-unit order, so that the order in which a file writes them does not matter. */
export function canonical(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(canonical).join(',')}]`
  if (typeof value !== 'object' || value === null) return JSON.stringify(value) ?? 'null'
  const fields = Object.entries(value).filter(([, each]) => each !== undefined)
  const sorted = fields.toSorted(([one], [other]) => (one < other ? -1 : 1))
  return `{${sorted.map(([name, each]) => `${JSON.stringify(name)}:${canonical(each)}`).join(',')}}`
}

/** One thing for the engine to decide: a precaution, or one side of a tension. */
export interface Question {
  readonly id: string
  readonly trigger: Trigger
}

export const sideId = (tension: string, side: number): string => `${tension}/${side}`

/** Everything a run decides: one question a precaution, two a tension. */
export const questionsOf = (ruleSet: RuleSet): readonly Question[] => [
  ...ruleSet.precautions.map(({ id, when }) => ({ id, trigger: when })),
  ...ruleSet.tensions.flatMap(({ id, sides }) => sides.map(({ when }, side) => ({ id: sideId(id, side), trigger: when }))),
]
