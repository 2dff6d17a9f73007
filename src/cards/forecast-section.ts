import type { Plan } from '../plan/plan.js'
import { refraction } from '../terms/power.js'
import type { Block, Section } from './card.js'
import { asSentence, countedOn, frequency, withThousands } from './figures.js'
import { FIGURE_WORDS } from './words-figures-en.js'
import { LENS_WORDS } from './words-lens-en.js'

type Forecast = NonNullable<Plan['lens']['forecast']>

const fact = (label: string, text: string): Block => ({ kind: 'fact', label, text })

const chance = ({ withinHalf, withinOne }: Forecast['unbiased']): string =>
  LENS_WORDS.chance(frequency(withinHalf), frequency(withinOne))

/** Whether the tendency named is the failing of the row's own length adjustment: then both chances are told. */
const hangsOnAdjustment = (forecast: Forecast): boolean => forecast.adjustment !== 'none'

/** The chances that stand on a card: with the known tendency in them, where one is named. */
const told = (forecast: Forecast): Forecast['unbiased'] =>
  hangsOnAdjustment(forecast) ? forecast.unbiased : (forecast.biased ?? forecast.unbiased)

/** The scale that both chances have, if it is one. */
function scaleOf({ withinHalf, withinOne }: Forecast['unbiased']): number | undefined {
  const [half, one] = [countedOn(withinHalf), countedOn(withinOne)]
  return half !== undefined && half.scale === one?.scale ? half.scale : undefined
}

/**
 * "71 / 97 in 100": both chances, their scale said once where it is one.
 * @param said the scale that has just been said
 */
function both(chances: Forecast['unbiased'], said?: number): string {
  const scale = scaleOf(chances)
  const { withinHalf, withinOne } = chances
  if (scale === undefined) return FIGURE_WORDS.pair(frequency(withinHalf), frequency(withinOne))
  const counts = FIGURE_WORDS.pair(String(countedOn(withinHalf)?.count), String(countedOn(withinOne)?.count))
  return scale === said ? counts : FIGURE_WORDS.outOf(counts, withThousands(scale))
}

const whole = (forecast: Forecast): string =>
  hangsOnAdjustment(forecast) && forecast.biased
    ? LENS_WORDS.chanceEitherWay(both(forecast.unbiased), both(forecast.biased, scaleOf(forecast.unbiased)))
    : both(told(forecast))

/** Rows further apart than this are said beside a chance that one of them gives, D: a convention of this project. */
const ROWS_APART_D = 0.5

/** How far apart the rows that count leave this lens, where that is more than a reader may overlook. */
function rowsApart({ lens }: Plan): string {
  const pick = lens.recommended
  if (pick === undefined) return ''
  const left = lens.formulas
    .filter((row) => row.counts)
    .flatMap((row) => row.predicted.filter(({ powerD }) => powerD === pick.powerD).map(({ refractionD }) => refractionD))
  const all = [...left, pick.leaves.lowD, pick.leaves.highD]
  const apart = Math.max(...all) - Math.min(...all)
  return apart > ROWS_APART_D ? LENS_WORDS.rowsApart(apart.toFixed(1)) : ''
}

/** "Within 0.50 / 1.00 D: 71 / 97 in 100 … (first-order error budget, average eyes, 2008 and 2025)": for the first screen. */
export function forecastLine(plan: Plan): readonly Block[] {
  const { forecast } = plan.lens
  if (forecast === undefined) return []
  const bias = forecast.biased && !hangsOnAdjustment(forecast) ? `${LENS_WORDS.withBias}; ` : ''
  return [
    fact(
      LENS_WORDS.chanceBoth,
      `${whole(forecast)}${rowsApart(plan)} (${bias}${forecast.model}, ${LENS_WORDS.averageEyes}, ${forecast.years})`,
    ),
  ]
}

/** How sure the refraction is, what dominates, and what to measure again. */
export function forecastSection(plan: Plan): readonly Section[] {
  const { forecast } = plan.lens
  if (forecast === undefined) return []
  const { unbiased, biased, biases, simulated, measureAgain, contributions, standardDeviationD } = forecast
  const deviation = standardDeviationD.toFixed(2)
  const { interval, hyperopicSurprise } = told(forecast)
  return [
    {
      id: 'forecast',
      title: LENS_WORDS.titles.forecast,
      where: 'page',
      blocks: [
        fact(LENS_WORDS.row, forecast.row),
        fact(LENS_WORDS.chanceLabel, `${chance(told(forecast))}; ${LENS_WORDS.hyperopic(frequency(hyperopicSurprise))}`),
        fact(LENS_WORDS.spread, LENS_WORDS.spreadText(deviation, refraction(interval.lowD), refraction(interval.highD))),
        ...(biased && !hangsOnAdjustment(forecast)
          ? [
              ...biases.map(({ words, biasD }) => fact(LENS_WORDS.tendency, `${words} (${refraction(biasD)})`)),
              {
                kind: 'line',
                text: asSentence(LENS_WORDS.ifUnbiased(frequency(unbiased.withinHalf), frequency(unbiased.withinOne))),
                weight: 'quiet',
              } as const,
            ]
          : hangsOnAdjustment(forecast) && biased
            ? biases.map(({ words, biasD }) => fact(LENS_WORDS.tendency, `${words} (${refraction(biasD)}): ${chance(biased)}`))
            : [fact(LENS_WORDS.tendency, LENS_WORDS.withoutBias)]),
        ...(simulated ? [fact(LENS_WORDS.simulated, simulated.words)] : []),
        fact(LENS_WORDS.dominates, forecast.dominant),
        {
          kind: 'table',
          caption: LENS_WORDS.effects,
          columns: [...LENS_WORDS.effectColumns],
          rows: contributions.map(({ errorSource, standardUncertainty, unit, effectD }) => [
            errorSource,
            `${Number(standardUncertainty.toPrecision(2))} ${unit}`,
            `${Math.abs(effectD).toFixed(2)} D`,
          ]),
        },
        { kind: 'line', text: LENS_WORDS.again, weight: 'strong' },
        {
          kind: 'list',
          items: measureAgain.map(({ action, standardDeviationD: after }) =>
            LENS_WORDS.narrows(action, deviation, after.toFixed(2)),
          ),
        },
        { kind: 'list', items: forecast.caveats },
        {
          kind: 'line',
          text: LENS_WORDS.named(forecast.model, forecast.population, forecast.years),
          weight: 'quiet',
        },
      ],
    },
  ]
}
