import type { Form, FormAbout, FormId } from '../cards/form.js'
import type { Person, Place } from '../consult/people.js'
import type { DeskDeps } from './deps.js'
import type { DeskView } from './store.js'

/** Who opens a form, and where. */
export interface FormReader {
  readonly by: Person
  readonly place: Place
}

export type FormFor = (
  form: FormId,
  about: FormAbout,
  reader: FormReader,
  view: DeskView,
  deps: DeskDeps,
) => Promise<Form | undefined>
