/** A measured quantity as the trade writes it: its name, its usual short form, its unit and the range taken as plausible. */
export interface Quantity {
  readonly name: string
  readonly short: string
  readonly unit: string
  /** The plausible range, in `unit`. A convention that catches slips of the keyboard, not a clinical limit. */
  readonly low: number
  readonly high: number
  /** Above this the value is kept but pointed out. */
  readonly unusualAbove?: number
  /** Below this the value is kept but pointed out. */
  readonly unusualBelow?: number
  readonly decimals: number
  /** How a message may call it; lower case. */
  readonly written: readonly string[]
  /** How a message may call it after the number: "120 cases". */
  readonly writtenAfter?: readonly string[]
  readonly example: string
}
