import { noteCard } from '../cards/short-cards.js'
import { type Consult, evolve, opinionsHidden } from '../consult/consult.js'
import { decide, isRefusal, refusalWords } from '../consult/decide.js'
import type { ConsultEvent } from '../consult/events.js'
import { OPINION_WORDS, type Opinion } from '../consult/opinion.js'
import type { Person } from '../consult/people.js'
import type { StandingConsult } from './consult-here.js'
import type { DeskDeps } from './deps.js'
import type { Inbound } from './ports.js'
import { answerWith, note, refuse, standing } from './replies.js'
import { isPersonal } from './rooms.js'
import { type DeskView, type Effects, NO_EFFECTS } from './store.js'

export const NO_SUCH_CONSULT = refusalWords({ refused: 'no-such-consult' })

/** Records a colleague's opinion and brings the card up to date. */
export async function giveOpinion(
  inbound: Inbound,
  { consult, events }: StandingConsult,
  given: { readonly opinion: Opinion; readonly revision: number },
  view: DeskView,
  deps: DeskDeps,
): Promise<Effects> {
  const by = await standing(inbound.by, view)
  const at = deps.clock.now()
  const decision = decide({ type: 'give-opinion', by, at, ...given }, consult)
  if (isRefusal(decision)) return refuse(inbound, refusalWords(decision))
  const { ref, place } = consult
  const words = OPINION_WORDS[given.opinion.kind]
  if (decision.length === 0) return note(inbound, `${words}: that is your opinion on ${ref} already`)

  const after = decision.reduce<Consult>(evolve, consult)
  const before = consult.opinions.find((opinion) => opinion.by.id === by.id)
  const sentences = [
    `${words}: recorded on ${ref}.`,
    ...(given.revision < consult.revision
      ? [`It stands as an answer to revision ${given.revision}; the newest is ${consult.revision}.`]
      : []),
    ...(before ? [`Your earlier answer (${OPINION_WORDS[before.opinion.kind]}) stays in the trail.`] : []),
    ...(isReadByOthers(inbound) && after.status !== 'not-asked' && opinionsHidden(after) ? [seenByAll(ref)] : []),
    ...(by.grade === undefined ? ['Your grade is not stated beside it; to state it, write: me: consultant, cornea'] : []),
  ]
  const task = taskFrom(given.opinion, by, at, after)
  const opened = task.flatMap((event) => (event.type === 'task-opened' ? [event.task] : []))
  return {
    ...NO_EFFECTS,
    events: [...decision, ...task],
    expected: events,
    outbound: [
      { kind: 'consult-card', ref, place },
      answerWith(inbound, noteCard([...sentences, ...opened.map((name) => `It is task ${name} now.`)].join(' '))),
    ],
  }
}

/** A message that stands where others read it; a command, a button and a form are seen by nobody else. */
const isReadByOthers = (inbound: Inbound): boolean =>
  inbound.kind === 'text' && inbound.message !== undefined && !isPersonal(inbound.place)

const seenByAll = (ref: string): string =>
  `Opinions on ${ref} are hidden for now, but what you typed here is read by all: a bot cannot take it away. You can delete your message; your answer stays recorded. To answer unseen, tap the card, or write to me alone: ${ref} agree but: …`

/** What somebody needs first becomes a task, so that it is not forgotten; it waits for somebody to take it. */
function taskFrom({ kind, sentence }: Opinion, by: Person, at: string, consult: Consult): readonly ConsultEvent[] {
  if (kind !== 'need-this-first' || sentence === undefined) return []
  const decision = decide({ type: 'open-task', by, at, what: sentence, from: 'opinion' }, consult)
  return isRefusal(decision) ? [] : decision
}

/**
 * Keeps what was said in the thread. Whoever spoke to the bot is told so; talk that was only overheard is kept in silence,
 * unless it looks like a command that lacks its colon: then its writer alone is told how that is written.
 */
export async function addComment(
  inbound: Inbound,
  { consult, events }: StandingConsult,
  text: string,
  view: DeskView,
  deps: DeskDeps,
  hint?: string,
): Promise<Effects> {
  const addressed = inbound.kind === 'text' && inbound.addressed
  const message = inbound.kind === 'text' && inbound.message !== undefined ? { message: inbound.message } : {}
  const by = await standing(inbound.by, view)
  const decision = decide({ type: 'comment', by, at: deps.clock.now(), text, ...message }, consult)
  if (isRefusal(decision)) return addressed ? refuse(inbound, refusalWords(decision)) : NO_EFFECTS
  const { ref, place } = consult
  const told = noteCard(
    `Kept as a comment on ${ref}. ${hint ?? 'An opinion begins with agree, agree but: …, need: …, not alone: … or stop: …; a new case is put outside this thread'}`,
  )
  return {
    ...NO_EFFECTS,
    events: decision,
    expected: events,
    outbound: [{ kind: 'consult-card', ref, place }, ...(addressed || hint !== undefined ? [answerWith(inbound, told)] : [])],
  }
}
