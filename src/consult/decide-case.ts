import type { ConsultCommand } from './commands.js'
import { type AskedConsult, openTasks } from './consult.js'
import type { Decided } from './decided.js'
import type { ConsultEvent } from './events.js'
import type { OpinionKind } from './opinion.js'
import type { Refusal } from './refusals.js'

type Of<Type extends ConsultCommand['type']> = Extract<ConsultCommand, { type: Type }>

/** Opinions that say that this plan, in these hands, should not go ahead: a decision answers each of them. */
const OBJECTIONS: readonly OpinionKind[] = ['do-not-operate-on-this-plan', 'not-this-surgeon-alone']

const sameName = (one: string, other: string): boolean => one.trim().toLowerCase() === other.trim().toLowerCase()
const said = (text: string | undefined): boolean => text !== undefined && text.trim() !== ''

/** The asker settles on a plan. Everything that was objected to or set aside is answered, or the decision is refused. */
export function makeDecision(command: Of<'decide'>, consult: AskedConsult): readonly ConsultEvent[] | Refusal {
  const { ref } = consult
  const { decision, by, at } = command
  if (!said(decision.planA)) return { refused: 'decision-incomplete', ref, missing: 'plan A' }
  if (!said(decision.operates)) return { refused: 'decision-incomplete', ref, missing: 'who operates' }
  if (said(decision.planB) && !said(decision.trigger)) return { refused: 'decision-incomplete', ref, missing: 'the trigger' }
  const refusal = lensRefusal(command, ref) ?? overrideRefusal(command, ref) ?? opinionRefusal(decision, consult)
  if (refusal) return refusal
  return [{ type: 'consult-decided', by, at, ref, revision: consult.revision, decision }]
}

function lensRefusal({ decision, ground }: Of<'decide'>, ref: string): Refusal | undefined {
  const { lens, lensBecause } = decision
  if (lens === undefined || said(lensBecause)) return undefined
  const { recommendedPowerD } = ground
  // Powers are steps of a quarter dioptre at the finest, so a thousandth tells equal from unequal.
  if (recommendedPowerD !== undefined && Math.abs(recommendedPowerD - lens.powerD) < 0.001) return undefined
  return { refused: 'lens-needs-reason', ref, givenD: lens.powerD, recommendedD: recommendedPowerD }
}

function overrideRefusal({ decision, ground }: Of<'decide'>, ref: string): Refusal | undefined {
  for (const { precaution, because } of decision.overrides) {
    if (!ground.critical.some(({ id }) => id === precaution))
      return { refused: 'no-such-precaution', ref, precaution, critical: ground.critical.map(({ id }) => id) }
    if (!said(because)) return { refused: 'override-needs-reason', ref, precaution }
  }
  return undefined
}

function opinionRefusal({ follows, departs }: Decided, { ref, opinions }: AskedConsult): Refusal | undefined {
  const given = opinions.map(({ by }) => by.name)
  for (const from of [...follows, ...departs.map((departure) => departure.from)]) {
    if (!given.some((name) => sameName(name, from))) return { refused: 'no-such-opinion', ref, from, given }
  }
  for (const { from, because } of departs) if (!said(because)) return { refused: 'departure-needs-reason', ref, from }
  const answered = [...follows, ...departs.map(({ from }) => from)]
  const open = opinions
    .filter(({ opinion, by }) => OBJECTIONS.includes(opinion.kind) && !answered.some((name) => sameName(name, by.name)))
    .map(({ by }) => by.name)
  return open.length === 0 ? undefined : { refused: 'objection-not-answered', ref, from: open }
}

export function openTask(command: Of<'open-task'>, consult: AskedConsult): readonly ConsultEvent[] | Refusal {
  const { ref, tasks } = consult
  const { type: _type, what, ...rest } = command
  if (!said(what)) return { refused: 'nothing-said', ref }
  // The same task is not opened a second time by a second tap or a second opinion.
  const there = openTasks(consult).some(
    (task) =>
      sameName(task.what, what) &&
      (command.owner === undefined || task.owner === command.owner) &&
      (command.due === undefined || task.due === command.due),
  )
  return there ? [] : [{ ...rest, type: 'task-opened', ref, task: `T${tasks.length + 1}`, what: what.trim() }]
}

export function finishTask(command: Of<'finish-task'>, consult: AskedConsult): readonly ConsultEvent[] | Refusal {
  const { ref } = consult
  const { by, at, result } = command
  const task = command.task.toUpperCase()
  const known = consult.tasks.find((one) => one.task === task)
  if (known === undefined || (known.done && !said(result)))
    return known?.done ? [] : { refused: 'no-such-task', ref, task, open: openTasks(consult).map((one) => one.task) }
  return [
    { type: 'task-done', by, at, ref, task, ...(result === undefined || result.trim() === '' ? {} : { result: result.trim() }) },
  ]
}
