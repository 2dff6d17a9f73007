import { expect } from 'vitest'
import type { Case } from '../../src/case/case.js'
import { type Understood, understand } from '../../src/intake/understand.js'

export const TODAY = '2026-11-24'
/** Invented labels. */
export const LENSES = ['Quay 1', 'Quay 3 sulcus']

export const reading = (text: string): Understood => understand(text, { today: TODAY, lensLabels: LENSES })

export function caseFrom(text: string): Extract<Understood, { kind: 'case' }> {
  const understood = reading(text)
  if (understood.kind !== 'case')
    expect.fail(`${JSON.stringify(text)} was not read as a case: ${JSON.stringify(understood).slice(0, 200)}`)
  return understood
}

type Plain = { readonly [name: string]: unknown }
const isStated = (value: unknown): value is { readonly value: unknown; readonly source: string } =>
  typeof value === 'object' && value !== null && 'value' in value && 'source' in value

/** A case without where each fact came from: what two messages that say the same have in common. */
export function valuesOf(whole: Case): Plain {
  return Object.fromEntries(
    Object.entries(whole).map(([field, fact]) => {
      if (isStated(fact)) return [field, fact.value]
      if (field === 'notUnderstood') return [field, (whole.notUnderstood ?? []).map(({ text }) => text)]
      return [
        field,
        Object.fromEntries(Object.entries(fact as Plain).map(([name, one]) => [name, isStated(one) ? one.value : one])),
      ]
    }),
  )
}

export const valuesFrom = (text: string): Plain => valuesOf(caseFrom(text).case)
