import type { Card } from '../cards/card.js'
import { guidanceCard } from '../cards/short-cards.js'

/** What else may be written, to be copied. Examples of a case come with the message itself. */
const ALSO: readonly string[] = [
  'find staphyloma sub-Tenon',
  'MARSH-7 (shows that consult)',
  'MARSH-7 agree but: stain the capsule',
  'me: consultant, cornea',
]

/** What to write, after a message that could not be taken as a case. */
export const guidance = (message: string): Card => guidanceCard(message, ALSO)
