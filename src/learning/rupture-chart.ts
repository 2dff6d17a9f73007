import { AUDIT_RATE, LATER_RATES } from '../risk/capsule-rupture-odds-table.js'
import type { Lesson } from './lesson.js'
import type { ImportedOperation } from './operations-file.js'

/** The rates that the 2001–06 odds model can be carried to; the first is the model as published. */
export const BASE_RATES = [
  { id: '2001-06', words: 'as published, UK 2001–06, 1.92 %', rate: AUDIT_RATE, source: 'Narendran N et al. Eye 2009;23:31-37' },
  ...LATER_RATES.map(({ baseRate, rate, source }) => ({
    id: /(\d{4})–(\d{2})/.exec(baseRate)?.slice(1).join('-') ?? baseRate,
    words: baseRate,
    rate,
    source,
  })),
] as const
export type BaseRate = (typeof BASE_RATES)[number]

/** What is expected of a department of today. */
export const ORDINARY_BASE_RATE: BaseRate = BASE_RATES.find(({ id }) => id === '2016-22') ?? BASE_RATES[0]

/** The model behind what is expected, said wherever the chart is shown. */
export const EXPECTED_BY = {
  model: '2001–06 odds model',
  population: '55,567 cataract operations in 12 UK trusts',
  years: '2001–06',
  cite: 'Narendran N et al. Eye 2009;23:31-37',
} as const

/** Source of a chart of cumulative observed minus expected events with each operation's own risk. */
export const OBSERVED_MINUS_EXPECTED =
  'Lovegrove J et al. Lancet 1997;350:1128-1130 (expected minus observed); Poloniecki J et al. BMJ 1998;316:1697-1700 (observed minus expected)'
export const RISK_ADJUSTED_CUSUM = 'Steiner SH, Cook RJ, Farewell VT, Treasure T. Biostatistics 2000;1:441-452'

export interface ChartedOperation {
  readonly day: string
  readonly rupture: boolean
  /** Probability of capsule rupture or vitreous loss, 0 to 1. */
  readonly expected: number
}

export interface ChartPoint extends ChartedOperation {
  /** From 1. */
  readonly operation: number
  /** Observed minus expected ruptures up to here. */
  readonly difference: number
  /** Where 95 % of such sums lie, at this operation alone, when the model holds. */
  readonly low: number
  readonly high: number
  /** Risk-adjusted cumulative sum for doubled odds; never below 0. */
  readonly cusum: number
}

const NORMAL_95 = 1.959963984540054
/** The change that the cumulative sum is tuned to find: the odds twice those expected. */
export const ODDS_TO_FIND = 2

/**
 * Weight of one operation in a risk-adjusted cumulative sum: the log-likelihood ratio of changed odds against those expected.
 * Source: Steiner SH et al. Biostatistics 2000;1:441-452.
 *
 * @example
 * ```ts
 * cusumWeight(0.5, false, 2) // => -0.405465
 * ```
 * @param expected probability of the event, 0 to 1
 * @param happened whether it happened
 * @param oddsRatio the change of the odds that is looked for
 */
export function cusumWeight(expected: number, happened: boolean, oddsRatio: number): number {
  const weight = -Math.log(1 - expected + oddsRatio * expected)
  return happened ? weight + Math.log(oddsRatio) : weight
}

/** Cumulative observed minus expected, with the pointwise 95 % range and the cumulative sum. In the order given. */
export function cumulate(operations: readonly ChartedOperation[]): readonly ChartPoint[] {
  let difference = 0
  let variance = 0
  let cusum = 0
  return operations.map((one, index) => {
    difference += (one.rupture ? 1 : 0) - one.expected
    variance += one.expected * (1 - one.expected)
    cusum = Math.max(0, cusum + cusumWeight(one.expected, one.rupture, ODDS_TO_FIND))
    const reach = NORMAL_95 * Math.sqrt(variance)
    return { ...one, operation: index + 1, difference, low: -reach, high: reach, cusum }
  })
}

export interface RuptureChart {
  readonly baseRate: BaseRate
  /** In words: what was counted, and what was not. */
  readonly denominator: string
  readonly notes: readonly string[]
  readonly points: readonly ChartPoint[]
  readonly observed: number
  /** Expected ruptures at every rate that the model is carried to. */
  readonly expectedAt: readonly { readonly words: string; readonly expected: number }[]
}

/** Our own limit: below it one rupture decides the whole line. */
export const FEWEST_OPERATIONS = 10

const riskAt = ({ expected }: Lesson, base: BaseRate): number | undefined =>
  base.id === '2001-06' ? expected?.published : expected?.recalibrated.find(({ baseRate }) => baseRate === base.words)?.value

/**
 * The chart over the consults, or over every operation of the unit where they were imported. Imported operations that
 * name a consult are expected by its own risk, the others by the base rate alone.
 */
export function ruptureChart(
  lessons: readonly Lesson[],
  baseRate: BaseRate,
  imported?: readonly ImportedOperation[],
): RuptureChart {
  return imported ? overAll(lessons, baseRate, imported) : overConsults(lessons, baseRate)
}

const inOrder = <Of extends { readonly day: string }>(operations: readonly Of[]): readonly Of[] =>
  operations.toSorted((one, other) => (one.day < other.day ? -1 : one.day > other.day ? 1 : 0))

const plural = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`

function overConsults(lessons: readonly Lesson[], baseRate: BaseRate): RuptureChart {
  // A plan of an earlier version may not have been carried to this rate.
  const isCharted = (lesson: Lesson): boolean => lesson.rupture !== undefined && riskAt(lesson, baseRate) !== undefined
  const known = inOrder(lessons.filter(isCharted))
  const chartedAt = (base: BaseRate): readonly ChartedOperation[] =>
    known.flatMap((lesson) => {
      const expected = riskAt(lesson, base)
      return expected === undefined ? [] : [{ day: lesson.day, rupture: lesson.rupture === true, expected }]
    })
  const unsaid = lessons.filter(({ rupture }) => rupture === undefined).length
  const noRisk = lessons.filter((lesson) => lesson.rupture !== undefined && !isCharted(lesson)).length
  const assumed = known.filter(({ expected }) => expected?.surgeonStated === false).length
  return charted(chartedAt, baseRate, {
    denominator: `Consults only: ${plural(known.length, 'operation')} with an outcome on record. These are the hard cases that were asked about, not all operations of the unit.`,
    notes: [
      ...(unsaid > 0 ? [`${plural(unsaid, 'outcome')} left out: nothing was said about complications.`] : []),
      ...(noRisk > 0 ? [`${plural(noRisk, 'outcome')} left out: the plan gave no figure by this model.`] : []),
      ...(assumed > 0 ? [`In ${assumed} the surgeon's grade was not stated: the consultant's figure was expected.`] : []),
    ],
  })
}

function overAll(lessons: readonly Lesson[], baseRate: BaseRate, imported: readonly ImportedOperation[]): RuptureChart {
  const byRef = new Map(lessons.map((lesson) => [lesson.ref, lesson]))
  const ordered = inOrder(imported)
  const ownRisk = ({ ref }: ImportedOperation, base: BaseRate): number | undefined => {
    const lesson = ref === undefined ? undefined : byRef.get(ref)
    return lesson && riskAt(lesson, base)
  }
  const chartedAt = (base: BaseRate): readonly ChartedOperation[] =>
    ordered.map((one) => ({ day: one.day, rupture: one.rupture, expected: ownRisk(one, base) ?? base.rate }))
  const consults = ordered.filter((one) => ownRisk(one, baseRate) !== undefined)
  const unknown = ordered.filter(({ ref }) => ref !== undefined && !byRef.has(ref)).length
  const named = new Set(ordered.map(({ ref }) => ref))
  const absent = lessons.filter(({ ref, rupture }) => rupture !== undefined && !named.has(ref)).length
  const differ = consults.filter((one) => {
    const recorded = byRef.get(one.ref ?? '')?.rupture
    return recorded !== undefined && recorded !== one.rupture
  }).length
  return charted(chartedAt, baseRate, {
    denominator: `All operations imported: ${ordered.length}, of which ${consults.length} are consults with a risk of their own; the others are expected at the base rate, whatever their case mix.`,
    notes: [
      ...(absent > 0
        ? [
            `${plural(absent, 'consult')} with an outcome on record ${absent === 1 ? 'is' : 'are'} not named in the file and not added to it.`,
          ]
        : []),
      ...(unknown > 0
        ? [
            `${plural(unknown, 'operation')} of the file ${unknown === 1 ? 'names' : 'name'} a consult without an outcome on record: expected at the base rate.`,
          ]
        : []),
      ...(differ > 0 ? [`In ${differ} the file and the record differ on whether the capsule ruptured: the file was taken.`] : []),
    ],
  })
}

function charted(
  chartedAt: (base: BaseRate) => readonly ChartedOperation[],
  baseRate: BaseRate,
  said: Pick<RuptureChart, 'denominator' | 'notes'>,
): RuptureChart {
  const points = cumulate(chartedAt(baseRate))
  return {
    baseRate,
    ...said,
    points,
    observed: points.filter(({ rupture }) => rupture).length,
    expectedAt: BASE_RATES.map((base) => ({
      words: base.words,
      expected: chartedAt(base).reduce((sum, { expected }) => sum + expected, 0),
    })),
  }
}
