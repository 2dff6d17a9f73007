import type { Asking, ConsultEvent } from '../../src/consult/events.js'
import type { Person, Place } from '../../src/consult/people.js'
import type { Inbound } from '../../src/desk/ports.js'
import { contentHash } from '../../src/trail/chain.js'
import { searchWords } from '../../src/trail/words.js'
import { ASKED, ASKER, PLACE } from '../consult/invented-people.js'
import { inventedPlan } from './invented-plan.js'

/** Invented deliveries and consults for the tests of stores. */
export const said = (text: string, by: Person = ASKER): Inbound => ({
  kind: 'text',
  text,
  by,
  place: PLACE,
  addressed: true,
  hasPicture: false,
  reply: { to: 'here' },
})

export const askedAs = (
  ref: string,
  question: string,
  changes: { place?: Place; axialLengthMm?: number; at?: string; hideUntil?: number; asking?: Asking } = {},
) => {
  const plan = inventedPlan({
    question,
    ...(changes.axialLengthMm === undefined ? {} : { axialLengthMm: changes.axialLengthMm }),
  })
  const event: ConsultEvent = {
    ...ASKED,
    ...changes.asking,
    ref,
    question,
    at: changes.at ?? ASKED.at,
    place: changes.place ?? PLACE,
    planHash: contentHash(plan),
    words: searchWords(plan),
    ...(changes.hideUntil === undefined ? {} : { hideUntil: changes.hideUntil }),
  }
  return { event, plan: { hash: contentHash(plan), plan } }
}
