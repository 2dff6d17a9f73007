import type { ConsultAsked } from '../../src/consult/events.js'
import type { Person, Place } from '../../src/consult/people.js'

/** Invented people and places for the tests. */
export const ASKER: Person = { id: 'slack:T1:U1', name: 'Wren', grade: 'registrar', field: 'cataract' }
export const CORNEA: Person = { id: 'slack:T1:U2', name: 'Alder', grade: 'consultant', field: 'cornea' }
export const RETINA: Person = { id: 'slack:T1:U3', name: 'Sorrel', grade: 'consultant', field: 'retina' }

export const PLACE: Place = { platform: 'slack', workspace: 'T1', channel: 'C1' }

export const at = (minute: number): string => `2026-03-02T18:${String(minute).padStart(2, '0')}:00.000Z`

export const ASKED: ConsultAsked = {
  type: 'consult-asked',
  by: ASKER,
  at: at(0),
  ref: 'MARSH-7',
  place: PLACE,
  planHash: 'a'.repeat(64),
  question: 'Chop, or plan a manual extraction from the start?',
  words: 'left eye 29.60 no5.2 brown manual extraction',
}
