import { describe, expect, it } from 'vitest'
import { adjustmentsFor, evaluate } from '../../src/optics/formulas.js'
import type { LensConstants } from '../../src/optics/lens-formula.js'
import type { AdjustmentId, FormulaId } from '../../src/terms/formulas.js'
import { dioptres, mm } from '../../src/terms/units.js'
import { formulaValues, type ValueRow } from './formula-values.js'

const TOLERANCE = 1e-6
const COLUMN: Readonly<Record<FormulaId, string>> = {
  'srk-t': 'srkt',
  t2: 't2',
  'holladay-1': 'holladay1',
  'hoffer-q': 'hofferq',
  haigis: 'haigis',
}
const FORMULA_IDS = Object.keys(COLUMN) as FormulaId[]

const eyeOf = (row: ValueRow) => ({
  axialLength: mm(row.at('AL')),
  keratometry: dioptres(row.at('K')),
  anteriorChamberDepth: mm(row.at('ACD')),
})
const constantsOf = (row: ValueRow): LensConstants => ({
  aConstant: row.at('A'),
})
const evaluated = (id: FormulaId, row: ValueRow, adjustment: AdjustmentId = 'none') =>
  evaluate(id, eyeOf(row), constantsOf(row), { adjustment, lensThickness: mm(row.at('LT')) })

const close = (actual: number, expected: number, what: string) =>
  expect(Math.abs(actual - expected), `${what}: ${actual} against ${expected}`).toBeLessThanOrEqual(TOLERANCE)

describe.each(FORMULA_IDS)('%s', (id) => {
  const prefix = COLUMN[id]
  const undefinedHere = (row: ValueRow) => id === 'srk-t' && row.flags.includes('SRKT_SQRT_CLAMP')

  it.each(formulaValues())('keeps its position, powers and refraction of row $row', (row) => {
    const outcome = evaluated(id, row)
    if (undefinedHere(row)) {
      expect(outcome).toMatchObject({ kind: 'outside-domain', quantity: 'computed corneal width' })
      return
    }
    if (outcome.kind !== 'computed') throw new Error(outcome.reason)
    const { effectiveLensPosition, powerFor, refractionFor } = outcome.value
    close(effectiveLensPosition, row.at(`${prefix}_ELP`), 'position')
    close(powerFor(dioptres(0)), row.at(`${prefix}_P_emme`), 'emmetropia')
    close(powerFor(dioptres(row.at('target'))), row.at(`${prefix}_P_target`), 'target')
    close(refractionFor(dioptres(row.at(`${prefix}_P_half`))), row.at(`${prefix}_Rx_at_half`), 'refraction')
  })
})

const ADJUSTED: readonly [FormulaId, AdjustmentId, string][] = [
  ['holladay-1', 'wang-koch-2011', 'h1_WK2011_P_target'],
  ['srk-t', 'wang-koch-2011', 'srkt_WK2011_P_target'],
  ['hoffer-q', 'wang-koch-2011', 'hofferq_WK2011_P_target'],
  ['haigis', 'wang-koch-2011', 'haigis_WK2011_P_target'],
  ['holladay-1', 'wang-koch-2018', 'h1_WK2018_P_target'],
  ['srk-t', 'wang-koch-2018', 'srkt_WK2018_P_target'],
]
const lengthColumn = (powerColumn: string) =>
  powerColumn.replace(/^(.*)_(WK\d+)_P_target$/, (_, formula: string, adjustment: string) => `${adjustment}_AL_${formula}`)

describe.each(ADJUSTED)('%s with the adjustment %s', (id, adjustment, column) => {
  it.each(formulaValues())('keeps its length and power of row $row, or says that it does not hold', (row) => {
    const applies = adjustmentsFor(id, mm(row.at('AL'))).includes(adjustment)
    const outcome = evaluated(id, row, adjustment)
    // Below the threshold the table repeats the unadjusted value; here nothing is answered.
    expect(applies).toBe(row.at(lengthColumn(column)) !== row.at('AL'))
    if (!applies) {
      expect(outcome).toMatchObject({ kind: 'outside-domain', quantity: 'axial length' })
      return
    }
    if (outcome.kind !== 'computed') {
      // The table holds the root at zero there, so that its number says nothing.
      expect([id, outcome.quantity]).toEqual(['srk-t', 'computed corneal width'])
      expect([19, 25, 30]).toContain(row.row)
      return
    }
    close(outcome.value.axialLengthUsed, row.at(lengthColumn(column)), 'length')
    close(outcome.value.powerFor(dioptres(row.at('target'))), row.at(column), 'power')
  })
})

describe('the sum-of-segments length', () => {
  it.each(formulaValues())('is kept for row $row and sets the answer aside', (row) => {
    const outcome = evaluated('haigis', row, 'cooke-2019')
    if (outcome.kind !== 'computed') throw new Error(outcome.reason)
    close(outcome.value.axialLengthUsed, row.at('CMAL'), 'length')
    expect(outcome.value.setAside).toBeDefined()
  })
})
