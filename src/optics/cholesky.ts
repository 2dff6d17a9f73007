/**
 * Lower triangle that turns independent standard normal draws into correlated ones.
 *
 * - Domain: correlations that some distribution can have; undefined otherwise.
 * - Source: Cholesky decomposition, as JCGM 101:2008 (GUM Supplement 1) draws from a multivariate normal distribution.
 *
 * @param size how many quantities
 * @param correlation coefficient between quantities `i` and `j`, by place; 1 with itself is understood
 * @returns rows of the triangle
 */
export function correlatingTriangle(
  size: number,
  correlation: (i: number, j: number) => number,
): readonly Float64Array[] | undefined {
  const rows: Float64Array[] = []
  for (let i = 0; i < size; i += 1) {
    const row = new Float64Array(i + 1)
    let left = 1
    for (const [j, other] of rows.entries()) {
      let sum = correlation(i, j)
      for (let k = 0; k < j; k += 1) sum -= (row[k] ?? 0) * (other[k] ?? 0)
      const diagonal = other[j] ?? 0
      // A quantity wholly determined by earlier ones leaves nothing to divide by.
      const entry = diagonal < 1e-12 ? 0 : sum / diagonal
      if (diagonal < 1e-12 && Math.abs(sum) > 1e-9) return undefined
      row[j] = entry
      left -= entry * entry
    }
    if (left < -1e-9) return undefined
    row[i] = Math.sqrt(Math.max(left, 0))
    rows.push(row)
  }
  return rows
}
