import { scaleLinear } from 'd3-scale'
import { at, DEEP, drawing, HAIR, INK, label, polyline, SOFT } from '../cards/svg.js'

export interface IntervalRow {
  readonly name: string
  readonly value: number
  readonly low: number
  readonly high: number
}

export interface IntervalPlot {
  /** At least one. */
  readonly rows: readonly IntervalRow[]
  /** Values that the axis must reach in any case. */
  readonly reach: readonly [number, number]
  /** A line to compare with, such as zero or a benchmark, named on the plot. */
  readonly reference?: { readonly value: number; readonly words: string }
  readonly axis: string
  readonly tick: (value: number) => string
}

const WIDTH = 720
const MARGIN = 64
/** Room for the name of the line to compare with; less where there is none. */
const TOP = 56
const TOP_ALONE = 12
const ROW = 84
const FOOT = 96
const MARK = 9

/** Each figure as a square on a bar from end to end of its interval, its name above it, along one axis. */
export function intervalPlot({ rows, reach, reference, axis, tick }: IntervalPlot): string {
  const top = reference ? TOP : TOP_ALONE
  const bottom = top + rows.length * ROW
  const ends = [...reach, ...(reference ? [reference.value] : []), ...rows.flatMap(({ low, high }) => [low, high])]
  const x = scaleLinear([Math.min(...ends), Math.max(...ends)], [MARGIN, WIDTH - MARGIN]).nice(5)
  const ticks = x.ticks(5)
  const grid = ticks.flatMap((value) => [
    polyline(
      [
        { x: x(value), y: top },
        { x: x(value), y: bottom },
      ],
      { stroke: HAIR, width: 1 },
    ),
    label({ x: x(value), y: bottom + 36 }, tick(value), { anchor: 'middle', fill: SOFT }),
  ])
  const bars = rows.flatMap(({ name, value, low, high }, index) => {
    const y = top + index * ROW + 58
    const end = (place: number) =>
      polyline(
        [
          { x: x(place), y: y - MARK },
          { x: x(place), y: y + MARK },
        ],
        { stroke: DEEP, width: 4 },
      )
    return [
      polyline(
        [
          { x: x(low), y },
          { x: x(high), y },
        ],
        { stroke: DEEP, width: 4 },
      ),
      end(low),
      end(high),
      `<rect x="${at(x(value) - MARK)}" y="${at(y - MARK)}" width="${2 * MARK}" height="${2 * MARK}" fill="${DEEP}" />`,
      label({ x: 16, y: y - 26 }, name),
    ]
  })
  const compare = reference ? referenceLine(x(reference.value), bottom, reference.words) : []
  return drawing({ width: WIDTH, height: bottom + FOOT }, [
    ...grid,
    ...compare,
    ...bars,
    label({ x: WIDTH / 2, y: bottom + 78 }, axis, { anchor: 'middle', fill: SOFT }),
  ])
}

const referenceLine = (x: number, bottom: number, words: string): readonly string[] => [
  polyline(
    [
      { x, y: TOP },
      { x, y: bottom },
    ],
    { stroke: INK, width: 4, dash: '2 6' },
  ),
  label({ x, y: 36 }, words, { bold: true, anchor: x > WIDTH / 2 ? 'end' : 'start' }),
]
