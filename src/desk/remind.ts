import { eyeInWords } from '../cards/case-words.js'
import { reminderCard } from '../cards/note-cards.js'
import { type Consult, evolve } from '../consult/consult.js'
import { decide, isRefusal } from '../consult/decide.js'
import type { ConsultEvent } from '../consult/events.js'
import type { Person } from '../consult/people.js'
import { stillDue } from '../consult/reminders.js'
import { consultHere } from './consult-here.js'
import type { DeskDeps } from './deps.js'
import type { Inbound } from './ports.js'
import { type DeskView, type Effects, NO_EFFECTS } from './store.js'

/** Who speaks when our own clock does. */
export const SOUNDINGS: Person = { id: 'soundings', name: 'Soundings' }

/**
 * A reminder that fell due: said in the consult's thread, once, to those it is for. It may have been answered, or the
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
      {
        kind: 'thread-note',
        ref,
        place,
        card: reminderCard(now, kind, plan === undefined ? ref : eyeInWords(plan.case)),
        mentions: to,
      },
    ],
  }
}
