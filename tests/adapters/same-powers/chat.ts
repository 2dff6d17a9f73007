import type { ChoiceAction } from '../../../src/cards/card.js'
import type { FormId } from '../../../src/cards/form.js'
import type { Store } from '../../../src/desk/store.js'
import { until } from '../../tools/until.js'

export type Who = 'asker' | 'colleague'
export const NAMES: Readonly<Record<Who, string>> = { asker: 'Rowan Vale', colleague: 'Odile Finch' }

/** What people do at a chat or the page; each act ends when all that it brings about has been sent. */
export interface Chat {
  readonly store: Store
  /** Speaks to the bot, outside any consult. */
  say(who: Who, text: string): Promise<void>
  /** Writes in the consult's thread, without naming the bot. */
  write(who: Who, text: string): Promise<void>
  /** Presses the button that does this: on the newest preview of this person, or on the consult. */
  press(who: Who, on: 'preview' | 'consult', does: (does: ChoiceAction) => boolean): Promise<void>
  /**
   * Opens a form by its button, fills in these fields and sends it; what stood in the others stays. Values as on paper:
   * the words of an option, names of people.
   */
  fill(who: Who, on: 'preview' | 'consult', form: FormId, answers: Readonly<Record<string, string>>): Promise<void>
  stop(): Promise<void>
}

/** Nothing waits to be handled or sent; what a person is to be told has been told. */
export async function settled(store: Store): Promise<void> {
  let quiet = 0
  await until(
    async () => {
      const { inboxWaiting, outboxQueued } = await store.standing()
      quiet = inboxWaiting === 0 && outboxQueued === 0 ? quiet + 1 : 0
      return quiet >= 3
    },
    () => 'a quiet store',
  )
}

export const opens =
  (form: FormId) =>
  (does: ChoiceAction): boolean =>
    does.action === 'open-form' && does.form === form
