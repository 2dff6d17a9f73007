import type { Card, ChoiceAction } from '../src/cards/card.js'
import type { Form, FormAbout } from '../src/cards/form.js'
import type { Person, Place } from '../src/consult/people.js'
import type { DeskDeps } from '../src/desk/deps.js'
import { formFor } from '../src/desk/form-for.js'
import { homeFor } from '../src/desk/home.js'
import type { DeskView } from '../src/desk/store.js'

interface Reader {
  readonly by: Person
  readonly place: Place
}

/** What is shown at once when somebody asks for it, and recorded nowhere. */
export interface FormsAndHome {
  readonly formFor: (does: Extract<ChoiceAction, { action: 'open-form' }>, reader: Reader) => Promise<Form | undefined>
  readonly homeFor: (reader: Reader) => Promise<Card>
}

export const formsAndHome = (view: DeskView, deps: DeskDeps): FormsAndHome => ({
  formFor: (does, reader) => formFor(does.form, aboutOf(does), reader, view, deps),
  homeFor: (reader) => homeFor(reader, view, deps),
})

const aboutOf = ({ ref, draftId, revision }: Extract<ChoiceAction, { action: 'open-form' }>): FormAbout => ({
  ...(ref === undefined ? {} : { ref }),
  ...(draftId === undefined ? {} : { draftId }),
  ...(revision === undefined ? {} : { revision }),
})
