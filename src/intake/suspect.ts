import type { Token } from './tokens.js'

export type IdentifierKind = 'name' | 'date-of-birth' | 'record-number' | 'phone' | 'email' | 'address' | 'long-number'

/** A search stops here: the message is refused by then, and a list of thousands helps nobody. */
export const MOST_SUSPECTS = 100

/** What a search found: the token it starts at, and where it takes several, the last. */
export interface Suspect {
  readonly kind: IdentifierKind
  readonly token: Token
  readonly last?: Token | undefined
}
