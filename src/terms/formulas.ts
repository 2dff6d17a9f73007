/** The lens-power formulas, by the names they were published under. */
export const FORMULAS = ['srk-t', 't2', 'holladay-1', 'hoffer-q', 'haigis'] as const
export type FormulaId = (typeof FORMULAS)[number]

export const FORMULA_NAMES: Readonly<Record<FormulaId, string>> = {
  'srk-t': 'SRK/T',
  t2: 'T2',
  'holladay-1': 'Holladay 1',
  'hoffer-q': 'Hoffer Q',
  haigis: 'Haigis',
}

/** The published axial-length adjustments; `none` is the length as measured. */
export const ADJUSTMENTS = ['none', 'wang-koch-2011', 'wang-koch-2018', 'cooke-2019'] as const
export type AdjustmentId = (typeof ADJUSTMENTS)[number]

export const ADJUSTMENT_NAMES: Readonly<Record<AdjustmentId, string>> = {
  none: 'no length adjustment',
  'wang-koch-2011': '2011 length adjustment',
  'wang-koch-2018': '2018 length adjustment',
  'cooke-2019': 'sum-of-segments length',
}
