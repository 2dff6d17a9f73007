import type { Card, ChoiceAction } from '../../src/cards/card.js'
import type { Form } from '../../src/cards/form.js'
import type { Person, Place } from '../../src/consult/people.js'
import type { Delivery, Inbound } from '../../src/desk/ports.js'
import type { Sheet } from '../../src/desk/sheets.js'
import type { KeptDraft } from '../../src/desk/store.js'
import type { Learning } from '../../src/learning/learning.js'
import type { BaseRate } from '../../src/learning/rupture-chart.js'
import type { Found } from '../../src/trail/trail-store.js'
import type { WaitingAnswers } from './waiting.js'

export const WEB_PLACE: Place = { platform: 'web', workspace: 'local', channel: 'page' }

/** What was said beside the opinions, as it reads now; nothing of what its writer has taken back. */
export interface Said {
  readonly by: string
  readonly at: string
  readonly text: string
  /** Whether it said something else before. */
  readonly changed: boolean
  /** Names it to its author, who may change it or take it back here; absent: not theirs, or not said on the page. */
  readonly own?: string
}

/** What the learning page needs. */
export interface LearningNeeds {
  /** What the visitor's own consults taught, at a base rate, or that a long trail is still being gone through. */
  learning(baseRate: BaseRate): Promise<Learning | 'being-read'>
}

/** What the page needs of the desk and the trail. */
export interface PageNeeds extends LearningNeeds {
  /** Guards, then keeps; durable when it returns. */
  accept(inbound: Inbound, key: string): Promise<void>
  /** Guards only: what would be kept. */
  receive(inbound: Inbound, key: string): Delivery
  answers: WaitingAnswers
  draft(id: string): Promise<KeptDraft | undefined>
  /** Whether there is such a consult here. */
  isHere(ref: string): Promise<boolean>
  /** `by`: who is shown it, for the access log. */
  consult(ref: string, by: Person): Promise<{ readonly card: Card; readonly said: readonly Said[] } | undefined>
  /** A form filled in for this person; undefined where there is none for them. */
  formFor(does: Extract<ChoiceAction, { action: 'open-form' }>, by: Person): Promise<Form | undefined>
  /** What waits for this person, and their own open consults. */
  home(by: Person): Promise<Card>
  /** What is taken out of the trail by a surgeon, to be printed; undefined where there is no such consult. */
  sheet(ref: string, sheet: Sheet, by: Person): Promise<Card | undefined>
  newest(count: number): Promise<readonly Found[]>
  /** What a search finds, or what was not understood of it. `refused`: the words may identify a patient. */
  find(words: string, by: Person): Promise<{ readonly card: Card; readonly refused: boolean }>
  /** Host names, without port, that were set for the page; it is there under those of this machine too. */
  hosts: ReadonlySet<string>
}
