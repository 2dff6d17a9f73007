/**
 * The value that would stand at a place if the values were sorted; the values are moved about, and those before the place are
 * then no greater, those after it no less.
 *
 * - Source: Hoare CAR. Algorithm 65: Find. Commun ACM 1961;4:321-322.
 *
 * @example
 * ```ts
 * nthSmallest(Float64Array.of(5, 1, 4), 1) // => 4
 * ```
 * @param values not NaN
 * @param place from 0
 * @param from values before it are already no greater than those from it on
 */
export function nthSmallest(values: Float64Array, place: number, from = 0): number {
  let left = from
  let right = values.length - 1
  while (left < right) {
    const pivot = values[(left + right) >> 1] ?? Number.NaN
    let i = left
    let j = right
    while (i <= j) {
      while ((values[i] ?? 0) < pivot) i += 1
      while ((values[j] ?? 0) > pivot) j -= 1
      if (i <= j) {
        const kept = values[i] ?? 0
        values[i] = values[j] ?? 0
        values[j] = kept
        i += 1
        j -= 1
      }
    }
    if (place <= j) right = j
    else if (place >= i) left = i
    else break
  }
  return values[place] ?? Number.NaN
}
