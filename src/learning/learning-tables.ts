import { OPINION_WORDS } from '../consult/opinion.js'
import { ADJUSTMENT_NAMES, FORMULA_NAMES } from '../terms/formulas.js'
import type { Learning } from './learning.js'
import { FEWEST_CONSULTS } from './opinion-agreement.js'
import { LENGTH_BANDS } from './prediction-error.js'
import type { Estimate } from './statistics.js'

/** One file of numbers: empty cells where there are too few to give a figure. */
export interface LearningTable {
  readonly name: string
  readonly columns: readonly string[]
  readonly rows: readonly (readonly (string | number | undefined)[])[]
}

const withInterval = (name: string): readonly string[] => [name, `${name}_low95`, `${name}_high95`]
const cells = (estimate: Estimate | undefined): readonly (number | undefined)[] => [
  estimate?.value,
  estimate?.low,
  estimate?.high,
]

const LEFT_OUT = 'left_out'
const leftOut = (reasons: readonly { readonly because: string; readonly eyes: number }[]): string =>
  reasons.map(({ because, eyes }) => `${eyes}: ${because}`).join('; ')

/** All figures of the learning page, unrounded, one table for each part. */
export function learningTables(learning: Learning): readonly LearningTable[] {
  return [
    {
      name: 'prediction-error',
      columns: [
        'formula',
        'length_adjustment',
        'axial_length',
        'eyes',
        ...withInterval('mean_error_d'),
        'standard_deviation_d',
        ...withInterval('median_absolute_error_d'),
        ...withInterval('share_within_0.50_d'),
        ...withInterval('share_within_1.00_d'),
      ],
      rows: learning.errors.map(({ formula, adjustment, band, eyes, figures }) => [
        FORMULA_NAMES[formula],
        ADJUSTMENT_NAMES[adjustment],
        LENGTH_BANDS.find(({ id }) => id === band)?.words ?? band,
        eyes,
        ...cells(figures?.mean),
        figures?.standardDeviationD,
        ...cells(figures?.medianAbsolute),
        ...cells(figures?.withinHalf),
        ...cells(figures?.withinOne),
      ]),
    },
    {
      name: 'single-constants',
      columns: [
        'lens',
        'length_measured_as',
        'formula',
        'constant',
        'eyes',
        'of_them_long',
        LEFT_OUT,
        'present',
        'present_converted_from_a',
        ...withInterval('proposed'),
        'mean_error_before_d',
        'not_proposed_because',
      ],
      rows: learning.constants.map((one) => [
        one.lensLabel,
        one.lengthKind,
        FORMULA_NAMES[one.formula],
        one.constant,
        one.eyes,
        one.longEyes,
        leftOut(one.leftOut),
        one.present,
        one.converted === undefined ? undefined : one.converted ? 'yes' : 'no',
        ...cells(one.proposed),
        one.proposed?.meanErrorBeforeD,
        one.refused,
      ]),
    },
    {
      name: 'haigis-constants',
      columns: [
        'lens',
        'length_measured_as',
        'eyes',
        LEFT_OUT,
        ...withInterval('a0'),
        ...withInterval('a1'),
        ...withInterval('a2'),
        'mean_error_after_d',
        'not_proposed_because',
      ],
      rows: learning.haigis.map(({ lensLabel, lengthKind, eyes, leftOut: reasons, proposed, refused }) => [
        lensLabel,
        lengthKind,
        eyes,
        leftOut(reasons),
        ...cells(proposed?.a0),
        ...cells(proposed?.a1),
        ...cells(proposed?.a2),
        proposed?.meanErrorAfterD,
        refused,
      ]),
    },
    {
      name: 'capsule-rupture',
      columns: ['operation', 'rupture', 'expected', 'observed_minus_expected', 'low95', 'high95', 'cumulative_sum'],
      rows: learning.ruptures.points.map(({ operation, rupture, expected, difference, low, high, cusum }) => [
        operation,
        rupture ? 'yes' : 'no',
        expected,
        difference,
        low,
        high,
        cusum,
      ]),
    },
    {
      name: 'opinions',
      columns: [
        'opinion',
        'consults',
        'case_changed_after',
        ...withInterval('share_with_complication'),
        ...withInterval('share_with_surprise'),
        ...withInterval('share_agreed_with_outcome'),
      ],
      rows: learning.opinions.map(({ kind, consults, changedAfter, complication, surprise, agreed }) => [
        OPINION_WORDS[kind],
        consults < FEWEST_CONSULTS ? `fewer than ${FEWEST_CONSULTS}` : consults,
        changedAfter,
        ...cells(complication),
        ...cells(surprise),
        ...cells(agreed),
      ]),
    },
  ]
}
