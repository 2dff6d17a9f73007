/** Beyond this every quantile of a two-sided 95 % interval lies inside. */
const WIDEST = 20

/**
 * Probability that a value of Student's t lies between -t and t.
 *
 * - Domain: t at least 0, a whole number of degrees of freedom from 1.
 * - Source: Abramowitz M, Stegun IA. Handbook of Mathematical Functions. 1964, 26.7.3 and 26.7.4 (finite series).
 *
 * @example
 * ```ts
 * centralStudentT(2.262157, 9) // => 0.95
 * ```
 * @param t distance from the mean in standard errors
 * @param degreesOfFreedom whole number, at least 1
 */
export function centralStudentT(t: number, degreesOfFreedom: number): number {
  const angle = Math.atan(t / Math.sqrt(degreesOfFreedom))
  const cosine = Math.cos(angle)
  const odd = degreesOfFreedom % 2 === 1
  if (degreesOfFreedom === 1) return (2 * angle) / Math.PI
  let term = odd ? cosine : 1
  let sum = term
  for (let order = odd ? 3 : 2; order <= degreesOfFreedom - 2; order += 2) {
    term *= (cosine * cosine * (order - 1)) / order
    sum += term
  }
  return odd ? (2 / Math.PI) * (angle + Math.sin(angle) * sum) : Math.sin(angle) * sum
}

/**
 * How many standard errors a two-sided 95 % interval reaches from the mean.
 *
 * @example
 * ```ts
 * studentT95(9) // => 2.262157
 * ```
 * @param degreesOfFreedom whole number, at least 1
 */
export function studentT95(degreesOfFreedom: number): number {
  let low = 1
  let high = WIDEST
  while (high - low > 1e-10) {
    const middle = (low + high) / 2
    if (centralStudentT(middle, degreesOfFreedom) < 0.95) low = middle
    else high = middle
  }
  return (low + high) / 2
}
