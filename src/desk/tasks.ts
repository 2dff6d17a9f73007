import { taskInWords, threadSentenceCard } from '../cards/note-cards.js'
import type { ConsultCommand } from '../consult/commands.js'
import { idsOf } from '../consult/people.js'
import type { Plan } from '../plan/plan.js'
import { carryOut } from './carry-out.js'
import type { StandingConsult } from './consult-here.js'
import { dayNamed, dayProblem } from './days.js'
import type { DeskDeps } from './deps.js'
import type { Inbound } from './ports.js'
import { refuse, standing } from './replies.js'
import type { DeskView, Effects } from './store.js'
import { untold, whoIsMeant } from './whom.js'

export interface WantedTask {
  readonly what: string
  /** Everybody who was named for it. */
  readonly owners: readonly string[]
  /** The day as it was written. */
  readonly due?: string
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
  const { what, owners, due } = wanted
  const problem = taskProblem(wanted, deps.today())
  const meant = await whoIsMeant(owners, inbound, view, deps)
  const problems = [...(problem === undefined ? [] : [problem]), ...meant.problems]
  if (problems.length > 0) return refuse(inbound, `No task was given. ${problems.join('. ')}`)
  const by = await standing(inbound.by, view)
  const [owner] = meant.names
  const plan = await view.plan(planHash)
  const fact = wanted.fact ?? (plan && gapFor(plan, what))
  const command: ConsultCommand = {
    type: 'open-task',
    by,
    at: deps.clock.now(),
    what,
    from: fact === undefined ? 'typed' : 'gap',
    ...(fact === undefined ? {} : { fact }),
    ...(owner === undefined ? {} : { owner }),
    ...(meant.reached.length === 0 ? {} : { reached: meant.reached }),
    ...(due === undefined ? {} : { due: dayNamed(due, deps.today()) ?? due }),
  }
  return carryOut(inbound, here, [command], {
    done: ({ tasks }) => {
      const task = tasks.at(-1)
      if (task === undefined) return ''
      const told = untold(meant.names, meant.reached)
      return [`${taskInWords(task)}. When it is done, write: done ${task.task}: RESULT`, ...told].join('. ')
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
              mentions: idsOf([task.owner], task.reached),
            },
          ]
    },
  })
}

const SUCH = 'task: B-scan @NAME by Friday'

function taskProblem({ what, owners, due }: WantedTask, today: string): string | undefined {
  if (what.trim() === '') return `It does not say what is to be done. Write: ${SUCH}`
  if (owners.length > 1)
    return `A task has one owner, and ${owners.length} are named: ${owners.join(', ')}. Write one task for each, such as: task: ${what} @${owners[0]}`
  return due === undefined ? undefined : dayProblem(due, today, 'by')
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
