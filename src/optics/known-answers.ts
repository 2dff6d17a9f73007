import type { FormulaId } from '../terms/formulas.js'
import { dioptres, mm } from '../terms/units.js'
import { evaluate } from './formulas.js'

/**
 * Powers that were printed by others, so that an installation can tell whether its formulas still give them.
 * Source: BMJ 2004;328(7431):92, web-only extra material (PMC314052), Table B, "Variation in predicted power ... with different
 * lens formulas": A-constant 118, mean keratometry 42.5 D, emmetropia. Printed to one decimal. The personalised anterior chamber
 * depth that the table used is not stated; it is converted from A here. Deviation: for Hoffer Q at 18 mm the equation gives
 * 45.548 and 45.6 is printed, 0.002 more than half the last digit; any personalised depth of 4.967 to 4.969 mm instead of 4.965
 * puts all ten within.
 */
export const PRINTED_POWERS = [
  { axialLengthMm: 18, 'srk-t': 41.6, 'hoffer-q': 45.6, withinD: 0.052 },
  { axialLengthMm: 20, 'srk-t': 32.9, 'hoffer-q': 34.6, withinD: 0.05 },
  { axialLengthMm: 22, 'srk-t': 25.8, 'hoffer-q': 26.6, withinD: 0.05 },
  { axialLengthMm: 26, 'srk-t': 13.9, 'hoffer-q': 13.8, withinD: 0.05 },
  { axialLengthMm: 32, 'srk-t': -0.3, 'hoffer-q': -1.2, withinD: 0.05 },
] as const

export const PRINTED_FORMULAS = ['srk-t', 'hoffer-q'] as const satisfies readonly FormulaId[]

/** A printed power and what this installation gives for the same eye, dioptres, signed; no power where the formula has none. */
export interface KnownAnswer {
  readonly formula: FormulaId
  readonly axialLengthMm: number
  readonly printedD: number
  readonly givenD: number | undefined
  readonly agrees: boolean
}

/** Half of the last digit is in binary not exactly half of it. */
const BINARY = 1e-9

/** Works the printed eyes out again. */
export const knownAnswers = (): readonly KnownAnswer[] =>
  PRINTED_FORMULAS.flatMap((formula) =>
    PRINTED_POWERS.map((row) => {
      const eye = { axialLength: mm(row.axialLengthMm), keratometry: dioptres(42.5) }
      const outcome = evaluate(formula, eye, { aConstant: 118 }, { adjustment: 'none' })
      const givenD = outcome.kind === 'computed' ? outcome.value.powerFor(dioptres(0)) : undefined
      const agrees = givenD !== undefined && Math.abs(givenD - row[formula]) <= row.withinD + BINARY
      return { formula, axialLengthMm: row.axialLengthMm, printedD: row[formula], givenD, agrees }
    }),
  )
