import type { Card } from '../cards/card.js'
import { guidanceCard } from '../cards/short-cards.js'

/** Invented cases and every command, to be copied. */
const EXAMPLES: readonly string[] = [
  'LE 58M, AL 29.60 optical, K1 42.10@95 K2 43.20@5, ACD 3.45, LT 4.90; brown NO 5.2; ECD 2180; no fundal view, B-scan flat; target -1.75; registrar; ? chop or manual',
  'find staphyloma sub-Tenon',
  'me: consultant, cornea',
  'MARSH-7 (shows that consult), or MARSH-7 agree but: stain the capsule',
]

/** What to write, after a message that could not be taken as a case. */
export const guidance = (message: string): Card => guidanceCard(message, EXAMPLES)
