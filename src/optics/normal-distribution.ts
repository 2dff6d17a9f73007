/** 1/sqrt(2 pi). */
const DENSITY_AT_ZERO = 0.3989422804014327
/** Beyond this many standard deviations the series loses its digits, and the answer is 0 or 1 to ten of them. */
const FAR = 7

/**
 * Probability that a standard normal value is at most `z`.
 *
 * - Domain: every number; right to about 1e-12.
 * - Source: Marsaglia G. Evaluating the normal distribution. J Stat Softw 2004;11(4):1-11 (series in odd double factorials).
 *
 * @example
 * ```ts
 * normalProbability(1.96) // => 0.975002
 * ```
 * @param z standard deviations from the mean
 */
export function normalProbability(z: number): number {
  if (z > FAR) return 1
  if (z < -FAR) return 0
  let term = z
  let sum = z
  for (let odd = 3; Math.abs(term) > 1e-16; odd += 2) {
    term *= (z * z) / odd
    sum += term
  }
  return 0.5 + sum * DENSITY_AT_ZERO * Math.exp((-z * z) / 2)
}
