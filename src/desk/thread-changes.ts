import { decide, isRefusal } from '../consult/decide.js'
import { consultOfThread, type StandingConsult } from './consult-here.js'
import type { DeskDeps } from './deps.js'
import type { Inbound } from './ports.js'
import { standing } from './replies.js'
import { type DeskView, type Effects, NO_EFFECTS } from './store.js'

type ThreadChange = Extract<Inbound, { kind: 'edited' | 'deleted' | 'picture' }>

const NOTHING_SAID = 'nothing was said about it'

/**
 * A message of a consult's thread was changed, taken back, or was a picture. The trail keeps what it said before, and of
 * a picture only that it was shown and what it was said to show. Nobody is answered: nobody spoke to the bot.
 */
export async function noteThreadChange(inbound: ThreadChange, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const here = await consultOfThread(view, inbound.place)
  if (!here) return NO_EFFECTS
  const by = await standing(inbound.by, view)
  const { message } = inbound
  const at = deps.clock.now()
  const text = inbound.text?.trim() ?? ''
  const decision = decide(
    inbound.kind === 'picture'
      ? { type: 'show-picture', by, at, message, said: text === '' ? NOTHING_SAID : text }
      : inbound.kind === 'deleted'
        ? { type: 'delete-comment', by, at, message }
        : { type: 'edit-comment', by, at, message, text },
    here.consult,
  )
  if (isRefusal(decision) || decision.length === 0) return NO_EFFECTS
  const { ref, place } = here.consult
  return { ...NO_EFFECTS, events: decision, expected: here.events, outbound: [{ kind: 'consult-card', ref, place }] }
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
