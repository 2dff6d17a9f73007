import { scaleLinear } from 'd3-scale'
import { DEEP, drawing, HAIR, INK, label, type Place, polyline, SOFT } from '../cards/svg.js'
import { signed } from '../terms/power.js'

/** The difference after one operation and the range expected of it. */
export interface CumulativePoint {
  readonly operation: number
  readonly difference: number
  readonly low: number
  readonly high: number
  readonly rupture: boolean
}

const SIZE = { width: 720, height: 560 } as const
const FRAME = { left: 92, right: 690, top: 60, bottom: 448 } as const
/** A phone shows no more steps than this. */
const MOST_POINTS = 600
const MOST_CROSSES = 120
const CROSS = 9

function thinned(points: readonly CumulativePoint[]): readonly CumulativePoint[] {
  const every = Math.ceil(points.length / MOST_POINTS)
  return points.filter((_, index) => index % every === 0 || index === points.length - 1)
}

/** Observed minus expected after each operation: a line, between the dashed ends of what chance would do, events crossed. */
export function cumulativePlot(points: readonly CumulativePoint[], axes: { readonly x: string; readonly y: string }): string {
  const ends = points.flatMap(({ difference, low, high }) => [difference, low, high])
  const x = scaleLinear([0, Math.max(1, points.length)], [FRAME.left, FRAME.right])
  const y = scaleLinear([Math.min(-1, ...extremes(ends, -1)), Math.max(1, ...extremes(ends, 1))], [FRAME.bottom, FRAME.top]).nice(
    5,
  )
  const drawn = thinned(points)
  const path = (value: (point: CumulativePoint) => number): readonly Place[] => [
    { x: x(0), y: y(0) },
    ...drawn.map((point) => ({ x: x(point.operation), y: y(value(point)) })),
  ]
  const across = (value: number): readonly Place[] => [
    { x: FRAME.left, y: y(value) },
    { x: FRAME.right, y: y(value) },
  ]
  const levels = y.ticks(5).flatMap((value) => [
    polyline(across(value), { stroke: HAIR, width: 1 }),
    label({ x: FRAME.left - 12, y: y(value) + 10 }, signed(value, y.ticks(5).every(Number.isInteger) ? 0 : 1), {
      anchor: 'end',
      fill: SOFT,
    }),
  ])
  const counts = x
    .ticks(4)
    .filter(Number.isInteger)
    .map((value) => label({ x: x(value), y: FRAME.bottom + 38 }, String(value), { anchor: 'middle', fill: SOFT }))
  const events = points.filter(({ rupture }) => rupture)
  const crosses = (events.length > MOST_CROSSES ? [] : events).flatMap(({ operation, difference }) =>
    [1, -1].map((slant) =>
      polyline(
        [
          { x: x(operation) - CROSS, y: y(difference) - slant * CROSS },
          { x: x(operation) + CROSS, y: y(difference) + slant * CROSS },
        ],
        { stroke: INK, width: 4 },
      ),
    ),
  )
  return drawing(SIZE, [
    ...levels,
    polyline(across(0), { stroke: INK, width: 3, dash: '2 6' }),
    polyline(
      path(({ low }) => low),
      { stroke: SOFT, width: 3, dash: '14 8' },
    ),
    polyline(
      path(({ high }) => high),
      { stroke: SOFT, width: 3, dash: '14 8' },
    ),
    polyline(
      path(({ difference }) => difference),
      { stroke: DEEP, width: 5 },
    ),
    ...crosses,
    ...counts,
    label({ x: 16, y: 36 }, axes.y, { bold: true }),
    label({ x: (FRAME.left + FRAME.right) / 2, y: FRAME.bottom + 82 }, axes.x, { anchor: 'middle', fill: SOFT }),
  ])
}

/** The end of many values on one side, without handing them all to one call. */
const extremes = (values: readonly number[], side: 1 | -1): readonly number[] =>
  values.length === 0 ? [] : [values.reduce((most, value) => (side * value > side * most ? value : most))]
