import type { RiskStatement, StatementWorking } from '../terms/risk-statement.js'
import type { SurgeryStatement } from '../terms/surgery-statement.js'

const READ_OFF = 'read off the published figures by these facts; nothing is computed'

/** A risk with its working; one that is read off a table shows by which facts. */
export const withWorking = (risk: RiskStatement): RiskStatement & { readonly working: StatementWorking } => ({
  ...risk,
  working: risk.working ?? {
    inputs: risk.factorsUsed.map(({ factor, level, effect }) => ({ name: factor, value: `${level} (${effect})` })),
    steps: risk.value === undefined ? [] : [{ name: 'probability', value: risk.value }],
    equation: READ_OFF,
    source: risk.source,
  },
})

/** A number for the operation with its working; one that is read off shows its values. */
export const withSurgeryWorking = (figure: SurgeryStatement): SurgeryStatement & { readonly working: StatementWorking } => ({
  ...figure,
  working: figure.working ?? {
    inputs: figure.values.map(({ name, value, unit }) => ({ name, value, unit })),
    steps: [],
    equation: READ_OFF,
    source: figure.source,
  },
})
