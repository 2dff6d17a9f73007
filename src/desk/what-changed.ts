import { type CaseRow, caseRows, fellowRows } from '../cards/case-words.js'
import { frequency, powerRange, refractionRange } from '../cards/figures.js'
import type { Plan } from '../plan/plan.js'
import { lensPower, refraction } from '../terms/power.js'

/** What a changed item did to a plan: sentences, each complete in itself. */
export interface PlanChanges {
  readonly inputs: readonly string[]
  readonly numbers: readonly string[]
  readonly gained: readonly string[]
  readonly lost: readonly string[]
}

/** Compares two plans of one eye: what was stated, the lens, the risks, and the precautions that fire. */
export function whatChanged(before: Plan, after: Plan): PlanChanges {
  return {
    inputs: [
      ...rowChanges(inputRows(before), inputRows(after)),
      ...changed('Question', before.case.question?.value, after.case.question?.value),
      ...changed('Kept as written', keptWords(before), keptWords(after)),
    ],
    numbers: [...lensChanges(before, after), ...riskChanges(before, after)],
    gained: firing(after).filter((text) => !firing(before).includes(text)),
    lost: firing(before).filter((text) => !firing(after).includes(text)),
  }
}

const NOT_STATED = 'not stated'

/** "Axial length: 29.60 mm → 29.70 mm"; empty where both are the same. */
function changed(label: string, before: string | undefined, after: string | undefined): readonly string[] {
  return before === after ? [] : [`${label}: ${before ?? NOT_STATED} \u2192 ${after ?? NOT_STATED}`]
}

const inputRows = (plan: Plan): readonly CaseRow[] => [
  ...caseRows(plan.case).filter(({ label }) => label !== 'Question'),
  ...fellowRows(plan.case).map((row) => ({ ...row, label: `Fellow eye, ${row.label.toLowerCase()}` })),
  ...Object.entries(plan.case.lensConstants ?? {}).flatMap(([name, stated]): readonly CaseRow[] =>
    stated === undefined ? [] : [{ label: `Lens constant ${name}`, value: String(stated.value), source: stated.source }],
  ),
]

function rowChanges(before: readonly CaseRow[], after: readonly CaseRow[]): readonly string[] {
  const labels = [...new Set([...before, ...after].map(({ label }) => label))]
  const shownIn = (rows: readonly CaseRow[], wanted: string) => rows.find(({ label }) => label === wanted)?.value
  return labels.flatMap((label) => changed(label, shownIn(before, label), shownIn(after, label)))
}

const keptWords = (plan: Plan): string | undefined => plan.case.notUnderstood?.map(({ text }) => `“${text}”`).join(', ')

const NO_LENS = 'none'

function lensChanges(before: Plan, after: Plan): readonly string[] {
  const power = ({ lens }: Plan): string => (lens.recommended === undefined ? NO_LENS : lensPower(lens.recommended.powerD))
  const leaves = ({ lens }: Plan): string =>
    lens.recommended === undefined ? NO_LENS : refractionRange(lens.recommended.leaves.lowD, lens.recommended.leaves.highD)
  const spread = ({ lens }: Plan): string =>
    lens.spread === undefined ? NO_LENS : powerRange(lens.spread.lowD, lens.spread.highD)
  return [
    ...changed('Recommended lens', power(before), power(after)),
    ...changed('It leaves', leaves(before), leaves(after)),
    ...changed('Formulas ask for', spread(before), spread(after)),
    ...changed('Target', refraction(before.lens.target.refractionD), refraction(after.lens.target.refractionD)),
  ]
}

type Risk = Plan['risks'][number]

const riskValue = ({ value, band }: Risk): string => (value === undefined ? (band?.words ?? NOT_STATED) : frequency(value))

function riskChanges(before: Plan, after: Plan): readonly string[] {
  const ids = [...new Set([...before.risks, ...after.risks].map(({ id }) => id))]
  return ids.flatMap((id) => {
    const one = before.risks.find((risk) => risk.id === id)
    const other = after.risks.find((risk) => risk.id === id)
    const named = other ?? one
    // A number is never printed without the model, the population and the years it comes from.
    const label = named === undefined ? id : `${named.about} (${named.model}, ${named.population}, ${named.years})`
    return changed(label, one && riskValue(one), other && riskValue(other))
  })
}

/** The precautions that fire for this eye, each with its gravity; advice that several share is named once. */
const firing = (plan: Plan): readonly string[] => [
  ...new Set(
    plan.precautions
      .filter(({ finding, place }) => finding === 'fires' && place === 'eye')
      .map(({ indicator, text }) => `${GRAVITY[indicator]}: ${text}`),
  ),
]

const GRAVITY = { critical: 'Critical', warning: 'Warning', info: 'Note' } as const
