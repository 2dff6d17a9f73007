import { noteCard } from '../cards/short-cards.js'
import type { ConsultCommand } from '../consult/commands.js'
import type { AskedConsult } from '../consult/consult.js'
import { decide, isRefusal, refusalWords } from '../consult/decide.js'
import type { Person } from '../consult/people.js'
import type { Refusal } from '../consult/refusals.js'
import { NO_SUCH_CONSULT } from './answer-consult.js'
import { consultFor, consultOfThread, type StandingConsult } from './consult-here.js'
import type { DeskDeps } from './deps.js'
import type { Inbound } from './ports.js'
import { answerWith, refuse, standing } from './replies.js'
import { type DeskView, type Effects, NO_EFFECTS } from './store.js'

type ThreadChange = Extract<Inbound, { kind: 'edited' | 'deleted' | 'picture' }>

const NOTHING_SAID = 'nothing was said about it'

/**
 * A message of a consult's thread was changed, taken back, or was a picture. The trail keeps what it said before, and of
 * a picture only that it was shown and what it was said to show. In a chat nobody is answered: nobody spoke to the bot.
 */
export async function noteThreadChange(inbound: ThreadChange, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const waits = inbound.ref !== undefined
  const here =
    inbound.ref === undefined ? await consultOfThread(view, inbound.place) : await consultFor(inbound, inbound.ref, view, deps)
  if (!here) return waits ? refuse(inbound, NO_SUCH_CONSULT) : NO_EFFECTS
  const by = await standing(inbound.by, view)
  const { consult } = here
  const decision =
    (waits ? refusedHere(inbound, consult) : undefined) ?? decide(commandOf(inbound, by, deps.clock.now()), consult)
  if (isRefusal(decision)) return waits ? refuse(inbound, refusalWords(decision)) : NO_EFFECTS
  const { ref, place } = consult
  const told = waits ? [answerWith(inbound, noteCard(DONE[inbound.kind](ref)))] : []
  if (decision.length === 0) return waits ? { ...NO_EFFECTS, outbound: told } : NO_EFFECTS
  return { ...NO_EFFECTS, events: decision, expected: here.events, outbound: [{ kind: 'consult-card', ref, place }, ...told] }
}

/** Whoever runs a channel of a chat may take a message out of it, and empty it; on the page only its author takes it back. */
function refusedHere({ kind, message, text, by }: ThreadChange, { ref, comments }: AskedConsult): Refusal | undefined {
  const comment = comments.find((one) => one.message === message && one.deletedAt === undefined)
  if (comment === undefined) return { refused: 'no-such-comment', ref }
  if (comment.by.id !== by.id) return { refused: 'comment-of-another', ref }
  return kind === 'edited' && (text ?? '').trim() === '' ? { refused: 'nothing-said', ref } : undefined
}

const DONE: Readonly<Record<ThreadChange['kind'], (ref: string) => string>> = {
  edited: (ref) => `Your comment on ${ref} reads as you wrote it now. What it said before stays in the trail.`,
  deleted: (ref) => `Your comment on ${ref} is taken back: the page no longer shows it. That it was made stays in the trail.`,
  picture: (ref) => `Kept with ${ref}.`,
}

function commandOf(inbound: ThreadChange, by: Person, at: string): ConsultCommand {
  const { message } = inbound
  const text = inbound.text?.trim() ?? ''
  if (inbound.kind === 'picture') return { type: 'show-picture', by, at, message, said: text === '' ? NOTHING_SAID : text }
  return inbound.kind === 'deleted'
    ? { type: 'delete-comment', by, at, message }
    : { type: 'edit-comment', by, at, message, text }
}

/** What a text in the thread brought about, and that a picture was shown with it. */
export async function withPicture(
  inbound: Extract<Inbound, { kind: 'text' }>,
  { consult, events }: StandingConsult,
  said: string,
  effects: Effects,
  view: DeskView,
  deps: DeskDeps,
): Promise<Effects> {
  const by = await standing(inbound.by, view)
  const message = inbound.message === undefined ? {} : { message: inbound.message }
  const shown = decide(
    { type: 'show-picture', by, at: deps.clock.now(), said: said === '' ? NOTHING_SAID : said, ...message },
    consult,
  )
  if (isRefusal(shown)) return effects
  const { ref, place } = consult
  const card = effects.outbound.some(({ kind }) => kind === 'consult-card') ? [] : [{ kind: 'consult-card', ref, place } as const]
  return { ...effects, events: [...effects.events, ...shown], expected: events, outbound: [...card, ...effects.outbound] }
}
