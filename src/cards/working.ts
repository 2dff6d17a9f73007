import type { FormulaRow, Plan, Working } from '../plan/plan.js'
import { ADJUSTMENT_NAMES, FORMULA_NAMES } from '../terms/formulas.js'
import type { Block, Section } from './card.js'
import { sourceInWords } from './sources.js'
import { WORDS } from './words-en.js'
import { LENS_WORDS } from './words-lens-en.js'

const quantity = (name: string, value: number | string, unit: string | undefined): string =>
  `${name} = ${typeof value === 'number' ? Number(value.toPrecision(8)) : value}${unit === undefined ? '' : ` ${unit}`}`

/** Inputs, steps, equation and source of one number. */
export function workingBlocks(title: string, working: Working): readonly Block[] {
  return [
    { kind: 'line', text: title, weight: 'strong' },
    {
      kind: 'fact',
      label: WORDS.workingInputs,
      text: working.inputs.map((one) => quantity(one.name, one.value, one.unit)).join(' · '),
    },
    { kind: 'fact', label: WORDS.workingEquation, text: working.equation },
    { kind: 'list', items: working.steps.map((one) => quantity(one.name, one.value, one.unit)) },
    { kind: 'line', text: `${WORDS.source}: ${sourceInWords(working.source)}`, weight: 'quiet' },
  ]
}

const formulaTitle = (row: FormulaRow): string => `${FORMULA_NAMES[row.formula]}, ${ADJUSTMENT_NAMES[row.adjustment]}`

/** The numbers behind the lens beyond its formulas. */
function lensDetails({ lens }: Plan): readonly { readonly title: string; readonly working: Working | undefined }[] {
  const { forecast, backup, fellow, toric, separateConstants } = lens
  return [
    { title: LENS_WORDS.titles.forecast, working: forecast?.working },
    { title: LENS_WORDS.backup, working: backup?.working },
    { title: LENS_WORDS.titles.beside, working: fellow?.working },
    { title: LENS_WORDS.secondEye, working: fellow?.secondEye?.working },
    { title: LENS_WORDS.titles.toric, working: toric?.working },
    ...(separateConstants?.pairs ?? []).map(({ working }) => ({ title: LENS_WORDS.titles.separate, working })),
  ]
}

interface Worked {
  readonly title: string
  readonly working: Working | undefined
  /** What it came to, beside its steps. */
  readonly also?: readonly (number | undefined | null)[]
}

/** Every number of the plan that has its working, in the order of the plan: what it is, and the blocks that show it. */
export function workings(
  plan: Plan,
): readonly { readonly title: string; readonly blocks: readonly Block[]; readonly values: readonly number[] }[] {
  const all = [
    ...plan.lens.formulas.map((row) => ({
      title: formulaTitle(row),
      working: row.working,
      also: [row.powerForTargetD, ...row.predicted.map(({ refractionD }) => refractionD)],
    })),
    ...lensDetails(plan),
    ...plan.risks.map((risk) => ({ title: `${risk.about}, ${risk.model}`, working: risk.working })),
    ...plan.surgery.map((figure) => ({ title: figure.about, working: figure.working })),
  ]
  return all.flatMap(({ title, working, also = [] }: Worked) =>
    working === undefined
      ? []
      : [
          {
            title,
            blocks: workingBlocks(title, working),
            values: [...also, ...working.steps.map(({ value }) => value)].filter(
              (value) => value !== undefined && value !== null,
            ),
          },
        ],
  )
}

/** The working of all numbers as one section. */
export const workingSection = (plan: Plan): readonly Section[] => {
  const blocks = workings(plan).flatMap((one) => one.blocks)
  return blocks.length === 0 ? [] : [{ id: 'working', title: WORDS.sections.working, where: 'page', blocks }]
}
