import { changedNoteCard } from '../cards/note-cards.js'
import { refusalCard } from '../cards/short-cards.js'
import { contentHash } from '../trail/chain.js'
import { searchWords } from '../trail/words.js'
import { carryOut } from './carry-out.js'
import { changedCase } from './changed-case.js'
import type { StandingConsult } from './consult-here.js'
import type { DeskDeps } from './deps.js'
import type { Inbound } from './ports.js'
import { only, refuse, standing } from './replies.js'
import type { DeskView, Effects } from './store.js'
import { whatChanged } from './what-changed.js'

/** Changes items of the case: a new plan, a new revision of the card, and in the thread what it changed. */
export async function reviseCase(
  inbound: Inbound,
  here: StandingConsult,
  item: string,
  view: DeskView,
  deps: DeskDeps,
): Promise<Effects> {
  const { consult } = here
  const { ref, place } = consult
  const by = await standing(inbound.by, view)
  const at = deps.clock.now()
  const before = await view.plan(consult.planHash)
  if (!before) return refuse(inbound, `The plan of ${ref} was erased, so it cannot be changed. Ask the case anew`)
  // Who may change it is decided before anything is computed, and the new plan is judged with the rest below.
  if (by.id !== consult.askedBy.id)
    return carryOut(inbound, here, [{ type: 'revise', by, at, planHash: '', words: '', changed: [] }], NOTHING_TOLD)
  const changed = changedCase(before.case, item, deps)
  if ('refused' in changed) return refuse(inbound, changed.refused)
  const blocking = changed.problems.filter(({ blocks }) => blocks)
  if (blocking.length > 0) {
    const sentences = blocking.map(({ message, instead }) => `${message} Write instead: ${instead}`)
    return only(inbound, refusalCard(`Nothing was changed. ${sentences.join(' ')}`))
  }

  const after = await deps.makePlan(changed.case)
  const changes = whatChanged(before, after)
  if (changes.inputs.length === 0) return refuse(inbound, `${ref} already says so; nothing was changed`)
  const planHash = contentHash(after)
  const question = after.case.question?.value
  const command = {
    type: 'revise',
    by,
    at,
    planHash,
    words: searchWords(after),
    changed: changes.inputs,
    ...(question === undefined ? {} : { question }),
  } as const
  const answeredBefore = consult.opinions.map((given) => given.by.name)
  return carryOut(inbound, here, [command], {
    done: (now) => `${ref} is revision ${now.revision} now. ${changes.inputs.join('. ')}. What it changed stands in the thread`,
    already: `${ref} already says so; nothing was changed`,
    plans: [{ hash: planHash, plan: after }],
    also: (now) => [
      {
        kind: 'thread-note',
        ref,
        place,
        card: changedNoteCard({ ref, revision: now.revision, changes, answeredBefore, wasDecided: consult.status === 'decided' }),
        mentions: consult.opinions.map((given) => given.by.id),
      },
    ],
  })
}

const NOTHING_TOLD = { done: () => '', already: '' }
