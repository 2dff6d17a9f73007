import type { Block } from '../cards/card.js'
import type { Learning } from '../learning/learning.js'
import { type ErrorSummary, FEWEST_EYES, LENGTH_BANDS, REFRACTION_BENCHMARK } from '../learning/prediction-error.js'
import type { Estimate, Share } from '../learning/statistics.js'
import { ADJUSTMENT_NAMES, FORMULA_NAMES } from '../terms/formulas.js'
import { signed } from '../terms/power.js'
import { intervalPlot } from './plot-intervals.js'
import { scatterPlot } from './plot-scatter.js'

type Row = Pick<ErrorSummary, 'formula' | 'adjustment'>
type Told = ErrorSummary & Required<Pick<ErrorSummary, 'figures'>>

const line = (text: string, weight: 'plain' | 'strong' | 'quiet' = 'plain'): Block => ({ kind: 'line', text, weight })
const rowName = ({ formula, adjustment }: Row): string =>
  adjustment === 'none' ? FORMULA_NAMES[formula] : `${FORMULA_NAMES[formula]}, ${ADJUSTMENT_NAMES[adjustment]}`

const signedEstimate = ({ value, low, high }: Estimate): string =>
  `${signed(value, 2)} (${signed(low, 2)} to ${signed(high, 2)}) D`
const estimate = ({ value, low, high }: Estimate): string => `${value.toFixed(2)} (${low.toFixed(2)} to ${high.toFixed(2)}) D`
/** Not to be parted at the end of a line. */
const percent = (share: number): string => `${Math.round(share * 100)}\u00a0%`
const shareInWords = ({ count, of, value, low, high }: Share): string =>
  `${count} of ${of}, ${percent(value)} (${percent(low)} to ${percent(high)})`

const isTold = (summary: ErrorSummary): summary is Told => summary.figures !== undefined

/** The mean errors and the shares within 0.50 D as plots and in a table, and each eye against its length. */
export function errorBlocks(learning: Learning): readonly Block[] {
  const all = learning.errors.filter(({ band }) => band === 'all')
  if (all.length === 0) return [line('No eye can be compared yet: record the lens and the refraction at four to six weeks.')]
  const told = all.filter(isTold)
  return [
    ...(told.length === 0
      ? [line(`Fewer than ${FEWEST_EYES} eyes for every formula: no figure is given.`, 'strong')]
      : plots(told)),
    ...eyes(learning),
    ...bandTable('all lengths', all),
    line(
      `Ranges are 95 % intervals: mean by Student's t, median by order statistics (Campbell MJ, Gardner MJ. BMJ 1988;296:1454-1456), shares by Wilson (J Am Stat Assoc 1927;22:209-212). Benchmark for all eyes: ${percent(REFRACTION_BENCHMARK.withinHalf)} within 0.50 D, ${percent(REFRACTION_BENCHMARK.withinOne)} within 1.00 D (${REFRACTION_BENCHMARK.cite}). A formula is judged only in eyes in which it counted, so two rows may stand on different eyes.`,
      'quiet',
    ),
  ]
}

/** The same figures for each band of axial length that holds an eye. */
export const bandBlocks = ({ errors }: Learning): readonly Block[] =>
  LENGTH_BANDS.filter(({ id }) => id !== 'all').flatMap(({ id, words }) =>
    bandTable(
      words,
      errors.filter(({ band }) => band === id),
    ),
  )

function plots(told: readonly Told[]): readonly Block[] {
  const spoken = (part: (of: Told) => string) => told.map((one) => `${rowName(one)} ${part(one)}`).join('; ')
  const named = (one: Told) => `${rowName(one)} (${one.eyes} eyes)`
  return [
    {
      kind: 'picture',
      svg: intervalPlot({
        rows: told.map((one) => ({ name: named(one), ...one.figures.mean })),
        reach: [-0.5, 0.5],
        reference: { value: 0, words: 'as predicted' },
        axis: 'mean error, D: − myopic, + hyperopic',
        tick: (value) => signed(value, 1),
      }),
      alternative: `Mean prediction error with 95 % interval: ${spoken(({ figures }) => signedEstimate(figures.mean))}.`,
    },
    {
      kind: 'picture',
      svg: intervalPlot({
        rows: told.map((one) => ({ name: named(one), ...one.figures.withinHalf })),
        reach: [0, 1],
        reference: { value: REFRACTION_BENCHMARK.withinHalf, words: 'benchmark 55 %' },
        axis: 'share within 0.50 D of the prediction',
        tick: percent,
      }),
      alternative: `Share within 0.50 D with 95 % interval: ${spoken(({ figures }) => shareInWords(figures.withinHalf))}.`,
    },
  ]
}

/** Each eye once, by the mean of the rows that its recommendation stood on. */
function eyes({ lessons }: Learning): readonly Block[] {
  const points = lessons.flatMap(({ errors }) => {
    const basis = errors.filter((error) => error.basis)
    const [first] = basis
    if (!first) return []
    return [{ axialLengthMm: first.axialLengthMm, errorD: basis.reduce((sum, { errorD }) => sum + errorD, 0) / basis.length }]
  })
  if (points.length < FEWEST_EYES) return []
  const within = (limit: number) => points.filter(({ errorD }) => Math.abs(errorD) <= limit + 1e-9).length
  const hyperopic = points.filter(({ errorD }) => errorD > 0).length
  return [
    {
      kind: 'picture',
      svg: scatterPlot(points, { x: 'axial length, mm', y: 'error, D: + more hyperopic than predicted' }),
      alternative: `Error against axial length, ${points.length} eyes, by the rows that each recommendation stood on: ${hyperopic} more hyperopic than predicted, ${within(0.5)} within 0.50 D, ${within(1)} within 1.00 D.`,
    },
  ]
}

function bandTable(words: string, summaries: readonly ErrorSummary[]): readonly Block[] {
  if (summaries.length === 0) return []
  const told = summaries.filter(isTold)
  const few = summaries.filter(({ figures }) => figures === undefined)
  return [
    ...(told.length === 0
      ? []
      : [
          {
            kind: 'table',
            caption: `Axial length: ${words}`,
            columns: ['Formula', 'Eyes', 'Mean error', 'Median absolute', 'Within 0.50 D', 'Within 1.00 D'],
            rows: told.map((one) => [
              rowName(one),
              String(one.eyes),
              `${signedEstimate(one.figures.mean)}, SD ${one.figures.standardDeviationD.toFixed(2)} D`,
              estimate(one.figures.medianAbsolute),
              shareInWords(one.figures.withinHalf),
              shareInWords(one.figures.withinOne),
            ]),
          } as const,
        ]),
    ...(few.length === 0
      ? []
      : [
          line(
            `${words}, fewer than ${FEWEST_EYES} eyes, no figure: ${few.map((one) => `${rowName(one)} (${one.eyes})`).join(', ')}.`,
          ),
        ]),
  ]
}
