import type { Block } from '../cards/card.js'
import { OPINION_WORDS } from '../consult/opinion.js'
import type { Learning } from '../learning/learning.js'
import { SURPRISE_FROM_D } from '../learning/lesson.js'
import { FEWEST_CONSULTS } from '../learning/opinion-agreement.js'
import {
  EXPECTED_BY,
  FEWEST_OPERATIONS,
  OBSERVED_MINUS_EXPECTED,
  ODDS_TO_FIND,
  RISK_ADJUSTED_CUSUM,
} from '../learning/rupture-chart.js'
import type { Share } from '../learning/statistics.js'
import { signed } from '../terms/power.js'
import { cumulativePlot } from './plot-cumulative.js'
import { intervalPlot } from './plot-intervals.js'

const line = (text: string, weight: 'plain' | 'strong' | 'quiet' = 'plain'): Block => ({ kind: 'line', text, weight })
/** Not to be parted at the end of a line. */
const percent = (share: number): string => `${Math.round(share * 100)}\u00a0%`

/** Observed minus expected capsule rupture, its denominator first. */
export function ruptureBlocks({ ruptures }: Learning): readonly Block[] {
  const { points, denominator, notes, baseRate, observed, expectedAt } = ruptures
  const last = points.at(-1)
  const said = [line(denominator, 'strong'), ...notes.map((note) => line(note))]
  if (!last || points.length < FEWEST_OPERATIONS) {
    return [...said, line(`Fewer than ${FEWEST_OPERATIONS} operations: no chart is given.`)]
  }
  const expected = points.reduce((sum, point) => sum + point.expected, 0)
  const outside = last.difference > last.high || last.difference < last.low
  const highest = points.reduce((most, { cusum }) => Math.max(most, cusum), 0)
  return [
    ...said,
    {
      kind: 'picture',
      svg: cumulativePlot(points, { x: 'operations, in order of date', y: 'observed minus expected ruptures' }),
      alternative: `After ${points.length} operations: ${observed} ruptures observed, ${expected.toFixed(1)} expected (${baseRate.words}), difference ${signed(last.difference, 1)}; the range that chance alone gives at this operation is ${signed(last.low, 1)} to ${signed(last.high, 1)}, and the difference lies ${outside ? 'outside' : 'inside'} it. A cross marks each rupture; a line that climbs means more ruptures than expected.`,
    },
    {
      kind: 'table',
      caption: `Expected by the ${EXPECTED_BY.model} (${EXPECTED_BY.population}, ${EXPECTED_BY.years}), ${observed} observed`,
      columns: ['Carried to', 'Expected', 'Observed minus expected'],
      rows: expectedAt.map(({ words, expected: sum }) => [words, sum.toFixed(1), signed(observed - sum, 1)]),
    },
    line(
      `Risk-adjusted cumulative sum for odds ${ODDS_TO_FIND} times those expected: now ${last.cusum.toFixed(2)}, highest ${highest.toFixed(2)} (${RISK_ADJUSTED_CUSUM}). No alarm limit is set: it depends on how many false alarms a department accepts.`,
    ),
    line(
      `Chart: ${OBSERVED_MINUS_EXPECTED}. Model: ${EXPECTED_BY.cite}; its odds table is recalled and awaits a check in print, and carrying it to a later rate takes no account of case mix. Event: capsule rupture or vitreous loss. The range is for one look; who looks after every operation will see it left by chance more often than 1 time in 20.`,
      'quiet',
    ),
  ]
}

const shareInWords = ({ count, of, value, low, high }: Share): string =>
  `${count} of ${of}, ${percent(value)} (${percent(low)} to ${percent(high)})`

/** How each kind of opinion compares with what happened. */
export function opinionBlocks({ opinions }: Learning): readonly Block[] {
  const told = opinions.flatMap(({ agreed, complication, surprise, changedAfter, ...one }) =>
    agreed && complication && surprise ? [{ ...one, agreed, complication, surprise, changedAfter: changedAfter ?? 0 }] : [],
  )
  const few = opinions.filter(({ agreed }) => agreed === undefined)
  return [
    ...(told.length === 0
      ? [
          line(
            `Fewer than ${FEWEST_CONSULTS} consults with a known outcome for every kind of opinion: no figure is given.`,
            'strong',
          ),
        ]
      : [
          {
            kind: 'picture',
            svg: intervalPlot({
              rows: told.map(({ kind, consults, agreed }) => ({ name: `${OPINION_WORDS[kind]} (${consults})`, ...agreed })),
              reach: [0, 1],
              axis: 'share in which the outcome agreed',
              tick: percent,
            }),
            alternative: `Share in which the outcome agreed with the opinion, with 95 % interval: ${told.map(({ kind, agreed }) => `${OPINION_WORDS[kind]} ${shareInWords(agreed)}`).join('; ')}.`,
          } as const,
          {
            kind: 'table',
            caption: 'Operated consults with a known outcome, by kind of opinion',
            columns: ['Opinion', 'Consults', 'Case changed after it', 'Complication', 'Refractive surprise', 'Outcome agreed'],
            rows: told.map(({ kind, consults, changedAfter, complication, surprise, agreed }) => [
              OPINION_WORDS[kind],
              String(consults),
              String(changedAfter),
              shareInWords(complication),
              shareInWords(surprise),
              shareInWords(agreed),
            ]),
          } as const,
        ]),
    ...(few.length === 0
      ? []
      : [line(`Fewer than ${FEWEST_CONSULTS} consults, not shown: ${few.map(({ kind }) => OPINION_WORDS[kind]).join(', ')}.`)]),
    line(
      `“Agreed”: a complication or a surprise (more than ${SURPRISE_FROM_D.toFixed(2)} D off, or recorded as one) after a cautious opinion, neither after another. A warning that was heeded and so came to nothing counts here as not borne out, and a patient who was not operated on is not counted at all: this says nothing about who gave good advice.`,
      'quiet',
    ),
  ]
}
