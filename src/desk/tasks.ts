import { taskInWords, threadSentenceCard } from '../cards/note-cards.js'
import type { ConsultCommand } from '../consult/commands.js'
import type { Plan } from '../plan/plan.js'
import { carryOut } from './carry-out.js'
import type { StandingConsult } from './consult-here.js'
import type { DeskDeps } from './deps.js'
import type { Inbound } from './ports.js'
import { refuse, standing } from './replies.js'
import type { DeskView, Effects } from './store.js'

export interface WantedTask {
  readonly what: string
  readonly owner?: string
  readonly due?: string
  /** Words that were meant as a day and could not be read as one. */
  readonly dueUnread?: string
  /** The fact whose gap it closes, where that is known already. */
  readonly fact?: string
}

/** Gives a task to somebody with a day. Where it is what a gap of the plan asks for, it stands under that gap. */
export async function openTask(
  inbound: Inbound,
  here: StandingConsult,
  wanted: WantedTask,
  view: DeskView,
  deps: DeskDeps,
): Promise<Effects> {
  const { ref, place, planHash } = here.consult
  if (wanted.dueUnread !== undefined)
    return refuse(inbound, `“${wanted.dueUnread}” is not a day. Write it like: by 2026-03-04, by 4 March, by Friday, by tomorrow`)
  const by = await standing(inbound.by, view)
  const plan = await view.plan(planHash)
  const fact = wanted.fact ?? (plan && gapFor(plan, wanted.what))
  const command: ConsultCommand = {
    type: 'open-task',
    by,
    at: deps.clock.now(),
    what: wanted.what,
    from: fact === undefined ? 'typed' : 'gap',
    ...(fact === undefined ? {} : { fact }),
    ...(wanted.owner === undefined ? {} : { owner: wanted.owner }),
    ...(wanted.due === undefined ? {} : { due: wanted.due }),
  }
  return carryOut(inbound, here, [command], {
    done: ({ tasks }) => {
      const task = tasks.at(-1)
      return task === undefined ? '' : `${taskInWords(task)}. When it is done, write: done ${task.task}: RESULT`
    },
    already: `That task stands on ${ref} already`,
    also: ({ tasks }) => {
      const task = tasks.at(-1)
      return task?.owner === undefined
        ? []
        : [
            {
              kind: 'thread-note',
              ref,
              place,
              card: threadSentenceCard(`${ref}: task`, taskInWords(task)),
              mentions: [task.owner],
            },
          ]
    },
  })
}

export async function finishTask(
  inbound: Inbound,
  here: StandingConsult,
  { task, result }: { readonly task: string; readonly result: string },
  view: DeskView,
  deps: DeskDeps,
): Promise<Effects> {
  const { ref, askedBy } = here.consult
  const by = await standing(inbound.by, view)
  const change = by.id === askedBy.id ? ' If it changes a fact of the case, write: change: ITEM' : ''
  return carryOut(inbound, here, [{ type: 'finish-task', by, at: deps.clock.now(), task, result }], {
    done: () => `${task} on ${ref} is done${result === '' ? '' : `: ${result}`}.${change}`,
    already: `${task} on ${ref} is done already`,
  })
}

const wordsOf = (text: string): string =>
  text
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim()

/** The fact of the gap that asks for exactly this task. */
function gapFor(plan: Plan, what: string): string | undefined {
  const said = wordsOf(what)
  return plan.gaps.find(({ task, label }) => wordsOf(task ?? '') === said || wordsOf(label) === said)?.fact
}
