import type { FormulaRow, Plan } from '../plan/plan.js'
import { ADJUSTMENT_NAMES, ADJUSTMENTS, FORMULA_NAMES } from '../terms/formulas.js'
import { lensPower, refraction } from '../terms/power.js'
import type { Block, Section } from './card.js'
import { eyeInWords, fellowRows } from './case-words.js'
import { asSentence, capitalised, powerRange, refractionRange } from './figures.js'
import { whyNoLens } from './first-lens.js'
import { backupLine } from './lens-detail-sections.js'
import { WORDS } from './words-en.js'
import { FIGURE_WORDS } from './words-figures-en.js'
import { LENS_WORDS } from './words-lens-en.js'

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
      columns: [WORDS.lensColumn, ...columns.map((adjustment) => capitalised(ADJUSTMENT_NAMES[adjustment]))],
      rows: powers.map((powerD) => [
        powerD === recommended ? `${lensPower(powerD)} (${WORDS.chosen})` : lensPower(powerD),
        ...columns.map((adjustment) => cell(powerD, adjustment)),
      ]),
    },
  ]
}

/** One row a formula, one column a length: what power it asks for and whether that is used. */
function powerTable(plan: Plan): readonly Block[] {
  const { formulas, target } = plan.lens
  if (formulas.length === 0) return []
  const columns = ADJUSTMENTS.filter((adjustment) => formulas.some((row) => row.adjustment === adjustment))
  const names = [...new Set(formulas.map((row) => row.formula))]
  const cell = (row: FormulaRow | undefined): string => {
    if (row === undefined) return WORDS.notComputed
    const power =
      row.powerForTargetD === undefined ? WORDS.undefinedPower : powerRange(row.powerForTargetD, row.powerForTargetD, 2)
    return FIGURE_WORDS.atLength(power, row.axialLengthUsedMm.toFixed(2), useOf(row))
  }
  return [
    {
      kind: 'table',
      caption: WORDS.powerTable(refraction(target.refractionD)),
      columns: [WORDS.formulaColumn, ...columns.map((adjustment) => capitalised(ADJUSTMENT_NAMES[adjustment]))],
      rows: names.map((formula) => [
        FORMULA_NAMES[formula],
        ...columns.map((adjustment) => cell(formulas.find((row) => row.formula === formula && row.adjustment === adjustment))),
      ]),
    },
  ]
}

/** "Haigis; SRK/T, T2 (no length adjustment)": a formula alone where all its rows are meant. */
function rowsInWords(rows: readonly FormulaRow[], all: readonly FormulaRow[]): string {
  const wholly = [...new Set(rows.map((row) => row.formula))].filter((formula) =>
    all.filter((row) => row.formula === formula).every((row) => rows.includes(row)),
  )
  const rest = rows.filter((row) => !wholly.includes(row.formula))
  const partly = ADJUSTMENTS.flatMap((adjustment) => {
    const names = rest.filter((row) => row.adjustment === adjustment).map((row) => FORMULA_NAMES[row.formula])
    return names.length === 0 ? [] : [`${names.join(', ')} (${ADJUSTMENT_NAMES[adjustment]})`]
  })
  return [...(wholly.length === 0 ? [] : [wholly.map((formula) => FORMULA_NAMES[formula]).join(', ')]), ...partly].join('; ')
}

/** Why rows count or are set aside and what is true of them, each said once with the rows it is said of. */
function reasons(plan: Plan): readonly Block[] {
  const rows = plan.lens.formulas
  const saidOf = (row: FormulaRow): readonly string[] => [
    ...(row.reason === undefined ? [] : [row.reason]),
    ...row.flags.map((flag) => flag.words),
  ]
  const items = [...new Set(rows.flatMap(saidOf))].map((words) => {
    const meant = rows.filter((row) => saidOf(row).includes(words))
    return asSentence(`${rowsInWords(meant, rows)}: ${words}`)
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
        constant.eyes === undefined ? constant.origin : `${constant.origin}, ${LENS_WORDS.constantEyes(constant.eyes)}`,
      ]),
    },
  ]
}

/** Where the lens is not made. */
function gapsInRange({ lens }: Plan): readonly Block[] {
  const holes = lens.gapsInRange ?? []
  const text = holes.map(({ belowD, aboveD }) => FIGURE_WORDS.two(lensPower(belowD), lensPower(aboveD))).join('; ')
  return holes.length === 0 ? [] : [{ kind: 'fact', label: LENS_WORDS.gaps, text }]
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
      ...(lens.spread === undefined
        ? []
        : [
            {
              kind: 'fact',
              label: WORDS.spreadLabel,
              text: powerRange(lens.spread.lowD, lens.spread.highD, 2),
            } as const,
          ]),
      ...(lens.recommended === undefined
        ? [{ kind: 'fact', label: WORDS.notRecommended, text: capitalised(whyNoLens(lens)), strong: true } as const]
        : []),
      ...backupLine(plan),
      ...leavesTable(plan),
      ...powerTable(plan),
      ...reasons(plan),
      ...gapsInRange(plan),
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
