import { type OutsideDomain, outsideRange, type Range } from './outcome.js'

/**
 * The first stated quantity outside its range. A quantity that was not stated is skipped: it is unknown, not wrong.
 * @param given quantities by name, in the unit of the range; undefined where not stated
 * @param domain the range of each quantity
 */
export function firstStatedOutside<Name extends string>(
  given: Readonly<Partial<Record<Name, number | undefined>>>,
  domain: Readonly<Record<Name, Range>>,
): OutsideDomain | undefined {
  for (const name in domain) {
    const value: number | undefined = given[name]
    const outside = value === undefined ? undefined : outsideRange(name, value, domain[name])
    if (outside) return outside
  }
  return undefined
}
