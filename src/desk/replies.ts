import type { Card } from '../cards/card.js'
import { noteCard, refusalCard } from '../cards/short-cards.js'
import type { Person } from '../consult/people.js'
import type { Inbound, Outbound } from './ports.js'
import { type DeskView, type Effects, NO_EFFECTS } from './store.js'

export const answerWith = ({ by: to, place, reply }: Inbound, card: Card): Outbound => ({
  kind: 'answer',
  to,
  place,
  reply,
  card,
})

/** Nothing happens but that the person is answered. */
export const only = (inbound: Inbound, card: Card): Effects => ({ ...NO_EFFECTS, outbound: [answerWith(inbound, card)] })

export const note = (inbound: Inbound, sentence: string): Effects => only(inbound, noteCard(sentence))

export const refuse = (inbound: Inbound, sentence: string): Effects => only(inbound, refusalCard(sentence))

/** The person as they described themselves; what comes with the delivery is fresher. */
export async function standing(by: Person, view: DeskView): Promise<Person> {
  const known = await view.person(by.id)
  const grade = by.grade ?? known?.grade
  const field = by.field ?? known?.field
  return { id: by.id, name: by.name, ...(grade === undefined ? {} : { grade }), ...(field === undefined ? {} : { field }) }
}
