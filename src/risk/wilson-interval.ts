import { computed, type Outcome } from '../terms/outcome.js'

/** Normal quantile of a two-sided 95 % interval. */
const Z = 1.959963984540054

/**
 * The 95 % score interval of a proportion, without continuity correction.
 * @param events whole number, 0 to `trials`
 * @param trials whole number, at least 1
 * @returns lower and upper limit, 0 to 1
 * Source: Wilson EB. J Am Stat Assoc 1927;22:209-212.
 */
export function wilsonInterval(events: number, trials: number): Outcome<{ readonly low: number; readonly high: number }> {
  const refuse = (quantity: string, given: number, low: number, high: number) =>
    ({
      kind: 'outside-domain',
      quantity,
      given,
      low,
      high,
      unit: 'count',
      reason: `${quantity} ${given} is not a whole number from ${low} to ${high}`,
    }) as const
  if (!(Number.isSafeInteger(trials) && trials >= 1)) return refuse('trials', trials, 1, Number.MAX_SAFE_INTEGER)
  if (!(Number.isSafeInteger(events) && events >= 0 && events <= trials)) return refuse('events', events, 0, trials)

  const share = events / trials
  const scale = 1 + (Z * Z) / trials
  const centre = share + (Z * Z) / (2 * trials)
  const half = Z * Math.sqrt((share * (1 - share)) / trials + (Z * Z) / (4 * trials * trials))
  return computed({ low: Math.max(0, (centre - half) / scale), high: Math.min(1, (centre + half) / scale) })
}
