import { scaleLinear } from 'd3-scale'
import type { FormulaRow, Plan } from '../plan/plan.js'
import { ADJUSTMENT_NAMES, FORMULA_NAMES } from '../terms/formulas.js'
import { signed } from '../terms/power.js'
import { at, DEEP, HAIR, INK, label, type Place, polyline, SHADE, SOFT, TEXT_SIZE } from './svg.js'
import { WORDS } from './words-en.js'

/** The frame of the chart within the picture; labels of the lines stand to its right. */
export interface Frame {
  readonly left: number
  readonly right: number
  readonly top: number
  readonly bottom: number
}

/** What is drawn: each row that counts, once as measured and once on each adjustment that the recommendation stands on. */
export const drawnRows = (plan: Plan): readonly FormulaRow[] =>
  plan.lens.formulas.filter((row) => row.counts && row.predicted.length > 1 && (row.basis || row.adjustment === 'none'))

/** "SRK/T 2011", "T2": the year tells the adjustment. */
const lineName = (row: FormulaRow): string => {
  const year = /\d{4}/.exec(ADJUSTMENT_NAMES[row.adjustment])?.[0]
  return year === undefined ? FORMULA_NAMES[row.formula] : `${FORMULA_NAMES[row.formula]} ${year}`
}

const LABEL_GAP = TEXT_SIZE + 2

/** Heights for labels near the wanted ones, none closer than a line of text and none outside the frame where they fit. */
export function spreadApart(wanted: readonly number[], top: number, bottom: number): readonly number[] {
  const order = wanted.map((y, index) => ({ y, index })).sort((one, other) => one.y - other.y || one.index - other.index)
  const placed: number[] = []
  for (const { y } of order) placed.push(Math.max(y, (placed.at(-1) ?? top - LABEL_GAP) + LABEL_GAP))
  let ceiling = bottom
  for (let index = placed.length - 1; index >= 0; index -= 1) {
    placed[index] = Math.min(placed[index] ?? ceiling, ceiling)
    ceiling = (placed[index] ?? ceiling) - LABEL_GAP
  }
  const result = wanted.map(() => 0)
  order.forEach(({ index }, rank) => {
    result[index] = placed[rank] ?? 0
  })
  return result
}

/** Every value, but no two closer than `least` units; `always` is kept before its neighbours. */
function notCrowded(
  values: readonly number[],
  place: (value: number) => number,
  least: number,
  always: number | undefined,
): readonly number[] {
  const kept: number[] = always === undefined ? [] : [always]
  for (const value of values) if (kept.every((other) => Math.abs(place(other) - place(value)) >= least)) kept.push(value)
  return kept
}

const TARGET_LABEL_WIDTH = 210

/**
 * The name of the target line, led down to the corner under all curves: refraction falls with power, so that corner is free.
 */
function targetLabel(
  rows: readonly FormulaRow[],
  target: number,
  x: (powerD: number) => number,
  y: (refractionD: number) => number,
  frame: Frame,
): readonly string[] {
  const end = frame.left + TARGET_LABEL_WIDTH
  const over = rows.flatMap((row) =>
    row.predicted.filter((step) => x(step.powerD) <= end + 40).map((step) => y(step.refractionD)),
  )
  const height = Math.min(Math.max(y(target), ...over) + TEXT_SIZE + 12, frame.bottom - 8)
  const down = [
    { x: frame.left + 18, y: y(target) },
    { x: frame.left + 18, y: height - TEXT_SIZE + 4 },
  ]
  return [
    polyline(down, { stroke: INK, width: 2 }),
    label({ x: frame.left + 8, y: height }, WORDS.picture.target(signed(target, 2)), { bold: true }),
  ]
}

/** Refraction against lens power: one line per formula, the target, the powers that exist, and what the recommended one leaves. */
export function powerChart(plan: Plan, frame: Frame): readonly string[] {
  const rows = drawnRows(plan)
  const powers = [...new Set(rows.flatMap((row) => row.predicted.map((step) => step.powerD)))].sort((one, other) => one - other)
  const refractions = rows.flatMap((row) => row.predicted.map((step) => step.refractionD))
  const target = plan.lens.target.refractionD
  const pick = plan.lens.recommended
  const x = scaleLinear([powers[0] ?? 0, powers.at(-1) ?? 1], [frame.left, frame.right])
  const y = scaleLinear([Math.min(target, ...refractions), Math.max(target, ...refractions)], [frame.bottom, frame.top]).nice(5)
  const across = (value: number): readonly Place[] => [
    { x: frame.left, y: y(value) },
    { x: frame.right, y: y(value) },
  ]

  const shade =
    pick === undefined
      ? []
      : [
          `<rect x="${frame.left}" y="${at(y(pick.leaves.highD) - 2)}" width="${frame.right - frame.left}" height="${at(y(pick.leaves.lowD) - y(pick.leaves.highD) + 4)}" fill="${SHADE}" />`,
          polyline(
            [
              { x: x(pick.powerD), y: frame.top },
              { x: x(pick.powerD), y: frame.bottom },
            ],
            { stroke: DEEP, width: 4 },
          ),
        ]
  const levels = y.ticks(6).flatMap((value) => [
    polyline(across(value), { stroke: HAIR, width: 1 }),
    label({ x: frame.left - 10, y: y(value) + 10 }, signed(value, y.ticks(6).every(Number.isInteger) ? 0 : 1), {
      anchor: 'end',
      fill: SOFT,
    }),
  ])
  const steps = powers.map((power) =>
    polyline(
      [
        { x: x(power), y: frame.bottom },
        { x: x(power), y: frame.bottom + (power === pick?.powerD ? 18 : 10) },
      ],
      { stroke: INK, width: 3 },
    ),
  )
  const stepLabels = notCrowded(powers, x, 84, pick?.powerD).map((power) =>
    label({ x: x(power), y: frame.bottom + 46 }, signed(power, Number.isInteger(power * 10) ? 1 : 2), {
      anchor: 'middle',
      bold: power === pick?.powerD,
    }),
  )
  const ends = rows.map((row) => y(row.predicted.at(-1)?.refractionD ?? 0))
  const heights = spreadApart(ends, frame.top, frame.bottom)
  const lines = rows.flatMap((row, index) => {
    const look = row.basis ? { stroke: DEEP, width: 4 } : { stroke: INK, width: 3, dash: '10 8' }
    const end = ends[index] ?? 0
    const height = heights[index] ?? end
    return [
      polyline(
        row.predicted.map((step) => ({ x: x(step.powerD), y: y(step.refractionD) })),
        look,
      ),
      polyline(
        [
          { x: frame.right, y: end },
          { x: frame.right + 16, y: height },
        ],
        { stroke: SOFT, width: 2 },
      ),
      label({ x: frame.right + 20, y: height + 10 }, lineName(row), { fill: row.basis ? DEEP : INK }),
    ]
  })
  return [
    ...shade,
    ...levels,
    polyline(across(target), { stroke: INK, width: 4, dash: '2 5' }),
    ...steps,
    ...lines,
    ...targetLabel(rows, target, x, y, frame),
    ...stepLabels,
  ]
}
