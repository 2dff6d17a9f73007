import type { OutsideDomain } from '../terms/outcome.js'

/**
 * A model that is undefined for these inputs, for a reason that no plain range expresses.
 * @param quantity the quantity that makes it undefined
 * @param given its value
 * @param unit its unit
 * @param reason a sentence for the reader
 * @param low lowest value for which the model is defined, where there is one
 * @param high highest such value
 */
export const noAnswer = (
  quantity: string,
  given: number,
  unit: string,
  reason: string,
  low = Number.NEGATIVE_INFINITY,
  high = Number.POSITIVE_INFINITY,
): OutsideDomain => ({ kind: 'outside-domain', quantity, given, low, high, unit, reason })
