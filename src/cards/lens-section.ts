import type { FormulaRow, Plan } from '../plan/plan.js'
import { ADJUSTMENT_NAMES, ADJUSTMENTS, FORMULA_NAMES } from '../terms/formulas.js'
import { lensPower, refraction } from '../terms/power.js'
import type { Block, Section } from './card.js'
import { eyeInWords, fellowRows } from './case-words.js'
import { asSentence, powerRange, refractionRange } from './figures.js'
import { WORDS } from './words-en.js'

const nameOf = (row: FormulaRow): string => `${FORMULA_NAMES[row.formula]}, ${ADJUSTMENT_NAMES[row.adjustment]}`

const useOf = (row: FormulaRow): string => (row.basis ? WORDS.use.basis : row.counts ? WORDS.use.counts : WORDS.use.aside)

/** One row per lens that exists: what it leaves, as a range over the formulas that count, one column per length adjustment. */
function leavesTable(plan: Plan): readonly Block[] {
  const counting = plan.lens.formulas.filter((row) => row.counts)
  const columns = ADJUSTMENTS.filter((adjustment) => counting.some((row) => row.adjustment === adjustment))
  const powers = [...new Set(counting.flatMap((row) => row.predicted.map((step) => step.powerD)))].sort(
    (one, other) => one - other,
  )
  if (powers.length === 0) return []
  const cell = (powerD: number, adjustment: FormulaRow['adjustment']): string => {
    const left = counting
      .filter((row) => row.adjustment === adjustment)
      .flatMap((row) => row.predicted.filter((step) => step.powerD === powerD).map((step) => step.refractionD))
    return left.length === 0 ? WORDS.undefinedPower : refractionRange(Math.min(...left), Math.max(...left))
  }
  const recommended = plan.lens.recommended?.powerD
  return [
    {
      kind: 'table',
      caption: WORDS.lensTable,
      columns: [WORDS.lensColumn, ...columns.map((adjustment) => ADJUSTMENT_NAMES[adjustment])],
      rows: powers.map((powerD) => [
        powerD === recommended ? `${lensPower(powerD)} (${WORDS.chosen})` : lensPower(powerD),
        ...columns.map((adjustment) => cell(powerD, adjustment)),
      ]),
    },
  ]
}

function powerTable(plan: Plan): readonly Block[] {
  if (plan.lens.formulas.length === 0) return []
  return [
    {
      kind: 'table',
      caption: WORDS.powerTable(refraction(plan.lens.target.refractionD)),
      columns: [...WORDS.powerColumns],
      rows: plan.lens.formulas.map((row) => [
        FORMULA_NAMES[row.formula],
        `${row.axialLengthUsedMm.toFixed(2)} mm, ${ADJUSTMENT_NAMES[row.adjustment]}`,
        row.powerForTargetD === undefined ? WORDS.undefinedPower : powerRange(row.powerForTargetD, row.powerForTargetD, 2),
        useOf(row),
      ]),
    },
  ]
}

/** Why each row counts or is set aside; rows with the same reason share a line. */
function reasons(plan: Plan): readonly Block[] {
  const said = plan.lens.formulas.map((row) => ({
    row,
    why: [...(row.reason === undefined ? [] : [row.reason]), ...row.flags.map((flag) => flag.words)].map(asSentence).join(' '),
  }))
  const distinct = [...new Set(said.map((one) => `${useOf(one.row)}: ${one.why}`))]
  const items = distinct.flatMap((line) => {
    const rows = said.filter((one) => `${useOf(one.row)}: ${one.why}` === line)
    return rows[0]?.why === '' ? [] : [`${rows.map((one) => nameOf(one.row)).join('; ')}: ${line}`]
  })
  return items.length === 0 ? [] : [{ kind: 'list', items }]
}

function constants(plan: Plan): readonly Block[] {
  if (plan.lens.constants.length === 0) return []
  return [
    {
      kind: 'table',
      caption: WORDS.constantsTable,
      columns: [...WORDS.constantsColumns],
      rows: plan.lens.constants.map((constant) => [
        FORMULA_NAMES[constant.formula],
        `${constant.name} ${constant.value}`,
        WORDS.modality[constant.modality],
        constant.origin,
      ]),
    },
  ]
}

/** Everything behind the lens line of the first screen. */
export function lensSection(plan: Plan): Section {
  const { lens } = plan
  const fellow = fellowRows(plan.case)
  const list = [lens.lensLabel ?? WORDS.lensNotListed, ...(lens.lensListTitle === undefined ? [] : [lens.lensListTitle])]
  return {
    id: 'lens',
    title: `${WORDS.sections.lens} · ${eyeInWords(plan.case)}`,
    blocks: [
      { kind: 'fact', label: WORDS.lensColumn, text: list.join(' · ') },
      ...(lens.recommended === undefined
        ? []
        : [{ kind: 'fact', label: WORDS.standsOn, text: lens.recommended.standsOn } as const]),
      ...(lens.noRecommendation === undefined
        ? []
        : [{ kind: 'fact', label: WORDS.notRecommended, text: lens.noRecommendation, strong: true } as const]),
      ...lens.missing.map(
        (gap): Block => ({ kind: 'question', text: asSentence(WORDS.noLensMissing(gap.label, gap.wouldChange)) }),
      ),
      ...leavesTable(plan),
      ...powerTable(plan),
      ...reasons(plan),
      ...(lens.notes.length > 0 ? [{ kind: 'list', items: lens.notes } as const] : []),
      ...constants(plan),
      {
        kind: 'fact',
        label: WORDS.fellow,
        text: fellow.length === 0 ? WORDS.fellowUnknown : fellow.map((row) => `${row.label}: ${row.value}`).join(' · '),
      },
    ],
  }
}
