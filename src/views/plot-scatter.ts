import { scaleLinear } from 'd3-scale'
import { at, DEEP, drawing, HAIR, INK, label, polyline, SOFT } from '../cards/svg.js'
import { signed } from '../terms/power.js'

/** One eye: its length and how far it ended from what was predicted. */
export interface ScatterPoint {
  readonly axialLengthMm: number
  readonly errorD: number
}

const SIZE = { width: 720, height: 600 } as const
const FRAME = { left: 92, right: 690, top: 60, bottom: 488 } as const
/** More eyes than this are thinned evenly: a phone shows no more dots apart. */
const MOST_DOTS = 1500
const LIMITS = [-1, -0.5, 0.5, 1] as const

/** Prediction error against axial length: a ring for each eye, lines at 0, ±0.50 and ±1.00 D. */
export function scatterPlot(points: readonly ScatterPoint[], axes: { readonly x: string; readonly y: string }): string {
  const every = Math.ceil(points.length / MOST_DOTS)
  const drawn = points.filter((_, index) => index % every === 0)
  const lengths = drawn.map(({ axialLengthMm }) => axialLengthMm)
  const errors = drawn.map(({ errorD }) => errorD)
  const x = scaleLinear([Math.min(...lengths) - 0.2, Math.max(...lengths) + 0.2], [FRAME.left, FRAME.right]).nice(5)
  const y = scaleLinear([Math.min(-1.5, ...errors), Math.max(1.5, ...errors)], [FRAME.bottom, FRAME.top]).nice(5)
  const across = (value: number, look: Parameters<typeof polyline>[1]) =>
    polyline(
      [
        { x: FRAME.left, y: y(value) },
        { x: FRAME.right, y: y(value) },
      ],
      look,
    )
  return drawing(SIZE, [
    ...y
      .ticks(5)
      .flatMap((value) => [
        across(value, { stroke: HAIR, width: 1 }),
        label({ x: FRAME.left - 12, y: y(value) + 10 }, signed(value, 1), { anchor: 'end', fill: SOFT }),
      ]),
    ...LIMITS.map((value) => across(value, { stroke: SOFT, width: 2, dash: Math.abs(value) === 1 ? '14 8' : '4 8' })),
    across(0, { stroke: INK, width: 3 }),
    ...drawn.map(
      ({ axialLengthMm, errorD }) =>
        `<circle cx="${at(x(axialLengthMm))}" cy="${at(y(errorD))}" r="7" fill="none" stroke="${DEEP}" stroke-width="3" />`,
    ),
    ...x.ticks(5).map((value) => label({ x: x(value), y: FRAME.bottom + 38 }, String(value), { anchor: 'middle', fill: SOFT })),
    label({ x: 16, y: 36 }, axes.y, { bold: true }),
    label({ x: (FRAME.left + FRAME.right) / 2, y: FRAME.bottom + 82 }, axes.x, { anchor: 'middle', fill: SOFT }),
  ])
}
