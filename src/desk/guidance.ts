import type { Card } from '../cards/card.js'
import { guidanceCard } from '../cards/short-cards.js'

/** What else may be written, to be copied. Examples of a case come with the message itself. */
const ALSO: readonly string[] = [
  'find staphyloma sub-Tenon AL>30',
  'MARSH-7 (shows that consult)',
  'MARSH-7 agree but: stain the capsule',
  'MARSH-7 change: AL 29.70 (for its asker)',
  'MARSH-7 decide: A chop; B manual extraction; if it does not crack; operates consultant; lens +9.0',
  'MARSH-7 near miss: wrong lens on the tray, seen at the pause',
  'MARSH-7 task: B-scan @NAME by Friday',
  'MARSH-7 working: capsule rupture (inputs, equation and source of a number; sources: every work it cites)',
  'home (what waits for you)',
  'me: consultant, cornea',
]

/** What to write, after a message that could not be taken as a case. */
export const guidance = (message: string): Card => guidanceCard(message, ALSO)
