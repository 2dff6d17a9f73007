import type { FormulaRow, Plan } from '../plan/plan.js'
import { ADJUSTMENT_NAMES, FORMULA_NAMES } from '../terms/formulas.js'
import { lensPower, refraction } from '../terms/power.js'
import type { Block } from './card.js'
import { eyeInWords } from './case-words.js'
import { drawnRows, powerChart } from './picture-chart.js'
import { eyeSection, SCHEMATIC_EYE } from './picture-eye.js'
import { drawing, label, SOFT } from './svg.js'
import { WORDS } from './words-en.js'

/** Portrait, so that it fills a phone held upright. */
const SIZE = { width: 720, height: 960 } as const
const COLUMN = { left: 20, right: 385, width: 320 } as const
const EYES_MIDDLE = 196
const CHART = { left: 96, right: 446, top: 486, bottom: 850 } as const
/** Units per millimetre; less where a very long eye would not fit its column. */
const SCALE = 10.5

/** Where the implanted lens sits: the middle of what the rows say that the recommendation stands on. */
function implantAt(rows: readonly FormulaRow[]): number | undefined {
  const positions = rows
    .flatMap((row) => (row.basis && row.effectiveLensPositionMm !== undefined ? [row.effectiveLensPositionMm] : []))
    .sort((one, other) => one - other)
  return positions[Math.floor((positions.length - 1) / 2)]
}

const measures = (depth: number | undefined, thickness: number | undefined): string =>
  WORDS.picture.measures(depth?.toFixed(2) ?? '?', thickness?.toFixed(2) ?? '?')

function eyes(plan: Plan, axialLengthMm: number): readonly string[] {
  const depth = plan.case.anteriorChamberDepthMm?.value
  const thickness = plan.case.lensThicknessMm?.value
  const pick = plan.lens.recommended
  const eye = eyeInWords(plan.case)
  const shape = {
    axialLengthMm,
    chamberDepthMm: depth,
    lensThicknessMm: thickness,
    implantAtMm: pick === undefined ? undefined : implantAt(plan.lens.formulas),
  }
  const scale = Math.min(SCALE, COLUMN.width / axialLengthMm)
  const rows = [354, 390].map((y) => ({ own: { x: COLUMN.left, y }, average: { x: COLUMN.right, y } }))
  const [lengths, parts] = rows
  if (lengths === undefined || parts === undefined) return []
  const { axialLengthMm: length, chamberDepthMm, lensThicknessMm } = SCHEMATIC_EYE
  return [
    label({ x: COLUMN.left, y: 42 }, pick === undefined ? eye : `${eye} · ${WORDS.picture.lens(lensPower(pick.powerD))}`, {
      bold: true,
    }),
    ...eyeSection(shape, { x: COLUMN.left, y: EYES_MIDDLE }, scale),
    ...eyeSection(SCHEMATIC_EYE, { x: COLUMN.right, y: EYES_MIDDLE }, scale),
    label(lengths.own, WORDS.picture.thisEye(axialLengthMm.toFixed(2)), { bold: true }),
    label(lengths.average, WORDS.picture.average(length.toFixed(1))),
    label(parts.own, measures(depth, thickness)),
    label(parts.average, measures(chamberDepthMm, lensThicknessMm), { fill: SOFT }),
  ]
}

export type Picture = Extract<Block, { kind: 'picture' }>

/** The numbers of the picture in words, for whoever cannot see it. */
function alternativeOf(plan: Plan, axialLengthMm: number): string {
  const pick = plan.lens.recommended
  const rows = drawnRows(plan)
  const leaves = rows.flatMap((row) => {
    const left = row.predicted.find((step) => step.powerD === pick?.powerD)
    const name = `${FORMULA_NAMES[row.formula]}, ${ADJUSTMENT_NAMES[row.adjustment]}`
    return left === undefined ? [] : [`${name} ${refraction(left.refractionD)}`]
  })
  return [
    WORDS.picture.inWords(eyeInWords(plan.case), axialLengthMm.toFixed(2), SCHEMATIC_EYE.axialLengthMm.toFixed(1)),
    WORDS.picture.depthInWords(
      plan.case.anteriorChamberDepthMm?.value.toFixed(2),
      plan.case.lensThicknessMm?.value.toFixed(2),
      SCHEMATIC_EYE.chamberDepthMm.toFixed(2),
      SCHEMATIC_EYE.lensThicknessMm.toFixed(2),
    ),
    ...(rows.length === 0 ? [WORDS.picture.noChart] : []),
    ...(pick === undefined || leaves.length === 0
      ? []
      : [WORDS.picture.leavesInWords(lensPower(pick.powerD), refraction(plan.lens.target.refractionD), leaves.join('; '))]),
  ].join(' ')
}

/**
 * The eye to scale beside an average one, and under it the refraction that each lens leaves by each formula.
 * @returns undefined where the axial length is not known: then there is nothing to draw to scale
 */
export function planPicture(plan: Plan): Picture | undefined {
  const length = plan.case.axialLengthMm?.value
  if (length === undefined) return undefined
  const charted = drawnRows(plan).length > 0
  const chart = charted
    ? [
        label({ x: COLUMN.left, y: 450 }, WORDS.picture.chart, { bold: true }),
        ...powerChart(plan, CHART),
        label({ x: COLUMN.left, y: 940 }, WORDS.picture.key),
      ]
    : [label({ x: COLUMN.left, y: 450 }, WORDS.picture.noChart, { bold: true })]
  return { kind: 'picture', svg: drawing(SIZE, [...eyes(plan, length), ...chart]), alternative: alternativeOf(plan, length) }
}
