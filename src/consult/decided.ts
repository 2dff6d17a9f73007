/** What the operating surgeon settles on after the opinions. */
export interface Decided {
  readonly planA: string
  readonly planB?: string
  /** What makes the surgeon change from plan A to plan B. */
  readonly trigger?: string
  /** Who operates. */
  readonly operates: string
  /** The lens with its signed power, dioptres. */
  readonly lens?: { readonly powerD: number; readonly label?: string }
  /** Why another power than the one that the plan recommends. */
  readonly lensBecause?: string
  /** Names of the colleagues whose opinion it follows. */
  readonly follows: readonly string[]
  /** Whose opinion it does not follow, and why. */
  readonly departs: readonly { readonly from: string; readonly because: string }[]
  /** Critical precautions that fire and are not followed, and why. */
  readonly overrides: readonly { readonly precaution: string; readonly because: string }[]
}
