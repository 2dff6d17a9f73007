import type { Form, FormAbout, FormId } from '../cards/form.js'
import { type AskPrefill, askForm, changeForm, decideForm, opinionForm, outcomeForm, taskForm } from '../cards/forms.js'
import type { Person, Place } from '../consult/people.js'
import { writeCase } from '../intake/case-text.js'
import { groundOf } from './act-on-consult.js'
import { consultFor } from './consult-here.js'
import type { DeskDeps } from './deps.js'
import { sameChannel } from './put-case.js'
import type { DeskView } from './store.js'

/** Who opens a form, and where. */
export interface FormReader {
  readonly by: Person
  readonly place: Place
}

/**
 * A form, filled with what is known: the draft it belongs to, or the consult as it stands. Reads and records nothing, so
 * that an adapter can show it at once; undefined where there is no such consult or draft for this person.
 */
export async function formFor(
  form: FormId,
  about: FormAbout,
  { by, place }: FormReader,
  view: DeskView,
  deps: DeskDeps,
): Promise<Form | undefined> {
  if (form === 'ask') return askForm(about, await prefill(about, { by, place }, view))
  const here = about.ref === undefined ? undefined : await consultFor({ by, place }, about.ref, view, deps)
  if (!here) return undefined
  const { consult } = here
  // The revision that the person had before them is answered, not the one that came meanwhile.
  const stated: FormAbout = { ref: consult.ref, revision: about.revision ?? consult.revision }
  if (form === 'opinion') return opinionForm(stated, consult, by.id)
  if (form === 'outcome') return outcomeForm(stated, consult, deps.today())
  const plan = await view.plan(consult.planHash)
  // Erased: there is nothing left to change or to decide on.
  if (!plan) return undefined
  switch (form) {
    case 'change':
      return changeForm(stated, writeCase(plan.case))
    case 'decide':
      return decideForm(stated, consult, plan, groundOf(plan).critical)
    case 'task':
      return taskForm(
        stated,
        plan,
        consult.tasks.flatMap(({ fact }) => (fact === undefined ? [] : [fact])),
      )
    default:
      return unreachable(form)
  }
}

async function prefill({ draftId }: FormAbout, { by, place }: FormReader, view: DeskView): Promise<AskPrefill> {
  const draft = draftId === undefined ? undefined : await view.draft(draftId)
  const channel = { channel: place.channel }
  if (draft === undefined || draft.by !== by.id || !('text' in draft)) return channel
  if (draft.asking?.elsewhere !== true && !sameChannel(draft.place, place)) return channel
  const surgeryDate = 'case' in draft ? draft.case.surgeryDate?.value : undefined
  return {
    text: draft.text,
    channel: draft.place.channel,
    ...(draft.asking === undefined ? {} : { asking: draft.asking }),
    ...(surgeryDate === undefined ? {} : { surgeryDate }),
  }
}

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
