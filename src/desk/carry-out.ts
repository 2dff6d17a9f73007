import { noteCard } from '../cards/short-cards.js'
import { type AskedConsult, type Consult, evolve } from '../consult/consult.js'
import { type ConsultCommand, decide, isRefusal, refusalWords } from '../consult/decide.js'
import type { ConsultEvent } from '../consult/events.js'
import type { StandingConsult } from './consult-here.js'
import type { Inbound, Outbound } from './ports.js'
import { answerWith, note, refuse } from './replies.js'
import { type Effects, NO_EFFECTS } from './store.js'

export interface Told {
  /** What the person who acted is told; may depend on what the consult has become. */
  readonly done: (consult: AskedConsult, events: readonly ConsultEvent[]) => string
  /** What they are told when it stood like that already. */
  readonly already: string
  /** What else goes out, such as a note in the thread. */
  readonly also?: (consult: AskedConsult, events: readonly ConsultEvent[]) => readonly Outbound[]
  readonly plans?: Effects['plans']
}

/**
 * Carries out commands on one consult, each judged on what the one before made of it: all of them, or none.
 * The card is brought up to date and the person answered.
 */
export function carryOut(
  inbound: Inbound,
  { consult, events: expected }: StandingConsult,
  commands: readonly ConsultCommand[],
  told: Told,
): Effects {
  let now: Consult = consult
  const events: ConsultEvent[] = []
  for (const command of commands) {
    const decision = decide(command, now)
    if (isRefusal(decision)) return refuse(inbound, refusalWords(decision))
    events.push(...decision)
    now = decision.reduce(evolve, now)
  }
  if (events.length === 0 || now.status === 'not-asked') return note(inbound, told.already)
  const { ref, place } = consult
  return {
    ...NO_EFFECTS,
    events,
    expected,
    plans: told.plans ?? [],
    outbound: [
      { kind: 'consult-card', ref, place },
      ...(told.also?.(now, events) ?? []),
      answerWith(inbound, noteCard(told.done(now, events))),
    ],
  }
}
