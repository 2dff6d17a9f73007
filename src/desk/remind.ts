import { eyeInWords } from '../cards/case-words.js'
import { reminderCard } from '../cards/note-cards.js'
import { type AskedConsult, type Consult, evolve } from '../consult/consult.js'
import { decide, isRefusal } from '../consult/decide.js'
import type { ConsultEvent, ReminderKind } from '../consult/events.js'
import type { Person } from '../consult/people.js'
import { stillDue } from '../consult/reminders.js'
import { asShown } from './as-shown.js'
import { consultHere } from './consult-here.js'
import type { DeskDeps } from './deps.js'
import type { Inbound, Outbound } from './ports.js'
import { isPersonal } from './rooms.js'
import { type DeskView, type Effects, NO_EFFECTS } from './store.js'

/** Who speaks when our own clock does. */
export const SOUNDINGS: Person = { id: 'soundings', name: 'Soundings' }

/**
 * A reminder that fell due: said once, to each of those it is for alone; in the consult's thread to whoever the chat has
 * no way to, and to everybody when it is for nobody by name. It may have been answered, or the
 * consult closed, while it waited: then nothing is said. An unanswered consult goes to its deputy.
 */
export async function remind(inbound: Extract<Inbound, { kind: 'reminder' }>, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const { ref, reminder: kind, to } = inbound
  const here = await consultHere(view, ref, 'everything')
  const at = deps.clock.now()
  if (!here || !stillDue(here.consult, kind, at)) return NO_EFFECTS
  const { consult } = here
  const asked =
    kind === 'unanswered' && consult.asking.deputy !== undefined ? decide({ type: 'ask-deputy', by: SOUNDINGS, at }, consult) : []
  const sent = decide({ type: 'remind', by: SOUNDINGS, at, kind, to }, consult)
  if (isRefusal(asked) || isRefusal(sent)) return NO_EFFECTS
  const events: readonly ConsultEvent[] = [...asked, ...sent]
  const now = events.reduce<Consult>(evolve, consult)
  const plan = await view.plan(consult.planHash)
  if (now.status === 'not-asked') throw new Error(`The trail is broken: ${ref} was not asked`)
  const { place } = consult
  return {
    ...NO_EFFECTS,
    events,
    expected: here.events,
    outbound: [
      { kind: 'consult-card', ref, place },
      ...notesFor(now, kind, to, plan === undefined ? ref : eyeInWords(plan.case)),
    ],
  }
}

function notesFor(consult: AskedConsult, kind: ReminderKind, to: readonly string[], eye: string): readonly Outbound[] {
  const shown = asShown(consult)
  const { ref, place } = consult
  const note = { kind: 'thread-note', ref, place, card: reminderCard(shown, kind, eye) } as const
  const known = to.filter((person) => !isPersonal(place) && person.startsWith(`${place.platform}:${place.workspace}:`))
  const others = to.filter((person) => !known.includes(person))
  return [
    ...(others.length > 0 || to.length === 0 ? [{ ...note, mentions: others }] : []),
    ...known.map((person) => ({
      ...note,
      mentions: [person],
      direct: { to: person, card: reminderCard(shown, kind, eye, 'alone') },
    })),
  ]
}
