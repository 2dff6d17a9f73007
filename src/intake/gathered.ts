import type { Eye } from '../terms/eye.js'
import type { Fact, Fault, Side } from './reading.js'
import type { Token } from './tokens.js'

/** A fact with the tokens it was read from. */
export interface Placed<What> {
  readonly what: What
  readonly side: Side
  readonly tokens: readonly Token[]
}
export interface Mention {
  readonly eye: Eye
  readonly operated: boolean
  readonly tokens: readonly Token[]
}
/** What one pass over the message gathers. */
export interface Gathered {
  readonly facts: Placed<Fact>[]
  readonly faults: Placed<Fault>[]
  readonly unread: { readonly tokens: readonly Token[]; readonly side: Side }[]
  readonly mentions: Mention[]
}
export const gathered = (): Gathered => ({ facts: [], faults: [], unread: [], mentions: [] })
