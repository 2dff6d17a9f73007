/** What a published model answers: a value, or the reason why it has none for these inputs. */
export type Outcome<Value> = { readonly kind: 'computed'; readonly value: Value } | OutsideDomain

export interface OutsideDomain {
  readonly kind: 'outside-domain'
  readonly quantity: string
  readonly given: number
  readonly low: number
  readonly high: number
  readonly unit: string
  /** A sentence for the reader: what was given, what the model holds for. */
  readonly reason: string
}

export const computed = <Value>(value: Value): Outcome<Value> => ({ kind: 'computed', value })

export interface Range {
  readonly low: number
  readonly high: number
  readonly unit: string
}

/**
 * The first quantity outside its range, or undefined. NaN is outside every range.
 * @param given quantities by name, in the unit of the range
 * @param domain the range of each quantity
 */
export function firstOutside<Name extends string>(
  given: Readonly<Record<Name, number>>,
  domain: Readonly<Record<Name, Range>>,
): OutsideDomain | undefined {
  for (const quantity in domain) {
    const outside = outsideRange(quantity, given[quantity], domain[quantity])
    if (outside) return outside
  }
  return undefined
}

/** Why one value is outside its range, or undefined. NaN is outside every range. */
export function outsideRange(quantity: string, given: number, { low, high, unit }: Range): OutsideDomain | undefined {
  if (given >= low && given <= high) return undefined
  const reason = `${quantity} ${given} ${unit} is outside ${low} to ${high} ${unit}`
  return { kind: 'outside-domain', quantity, given, low, high, unit, reason }
}
