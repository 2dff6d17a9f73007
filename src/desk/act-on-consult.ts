import { decisionNoteCard, threadSentenceCard } from '../cards/note-cards.js'
import { refusalCard } from '../cards/short-cards.js'
import type { DecisionGround } from '../consult/commands.js'
import type { AskedConsult } from '../consult/consult.js'
import type { Decided } from '../consult/decided.js'
import { type Outcome, outcomeInWords } from '../consult/outcome.js'
import { namesListed, type Person } from '../consult/people.js'
import { readBack } from '../consult/signed-power.js'
import { typedDecision } from '../consult/typed-decision.js'
import { typedOutcome } from '../consult/typed-outcome.js'
import type { Plan } from '../plan/plan.js'
import { carryOut } from './carry-out.js'
import type { StandingConsult } from './consult-here.js'
import type { DeskDeps } from './deps.js'
import type { Inbound, Outbound } from './ports.js'
import { only, refuse, standing } from './replies.js'
import { reviseCase } from './revise.js'
import { showSheet } from './sheets.js'
import type { DeskView, Effects } from './store.js'
import { finishTask, openTask } from './tasks.js'
import type { ThreadCommand } from './thread-command.js'
import { whoIsMeant } from './whom.js'
import { showWorking } from './working-here.js'

/** What somebody typed to a consult, done or refused with the reason. */
export async function actOnConsult(
  inbound: Inbound,
  here: StandingConsult,
  command: ThreadCommand,
  view: DeskView,
  deps: DeskDeps,
): Promise<Effects> {
  switch (command.does) {
    case 'task':
      return openTask(inbound, here, command, view, deps)
    case 'done':
      return finishTask(inbound, here, command, view, deps)
    case 'change':
      return reviseCase(inbound, here, command.item, view, deps)
    case 'decide': {
      const read = typedDecision(command.text)
      if ('problems' in read) return only(inbound, refusalCard(`Nothing was decided. ${sentences(read.problems)}`))
      return makeDecision(inbound, here, read.decision, view, deps)
    }
    case 'outcome': {
      const read = typedOutcome(command.text)
      if ('problems' in read) return only(inbound, refusalCard(`Nothing was recorded. ${sentences(read.problems)}`))
      return recordOutcome(inbound, here, read.outcome, view, deps)
    }
    case 'reveal':
      return reveal(inbound, here, view, deps)
    case 'withdraw':
    case 'close':
    case 'reopen':
      return turn(inbound, here, command, view, deps)
    case 'give':
      return give(inbound, here, command.to, view, deps)
    case 'working':
    case 'sources':
      return showWorking(inbound, here, command, view, deps)
    case 'record':
    case 'theatre':
    case 'consent':
      return showSheet(inbound, here, command.does, view, deps)
    case 'reminders':
      return command.on
        ? refuse(
            inbound,
            'Reminders of one consult are only stopped. To have them of all your consults, write to me outside its thread: reminders on',
          )
        : stopReminders(inbound, here, view, deps)
    default:
      return unreachable(command)
  }
}

export async function reveal(inbound: Inbound, here: StandingConsult, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const { ref } = here.consult
  const by = await standing(inbound.by, view)
  return carryOut(inbound, here, [{ type: 'reveal', by, at: deps.clock.now() }], {
    done: () => `The opinions on ${ref} are shown to everyone now`,
    already: `The opinions on ${ref} are shown already`,
  })
}

/** What a decision is held against: the power the plan recommends and the critical precautions that fire. */
export const groundOf = (plan: Plan): DecisionGround => ({
  ...(plan.lens.recommended === undefined ? {} : { recommendedPowerD: plan.lens.recommended.powerD }),
  critical: plan.precautions
    .filter(({ finding, indicator, place }) => finding === 'fires' && indicator === 'critical' && place === 'eye')
    .map(({ id, text }) => ({ id, text })),
})

export async function makeDecision(
  inbound: Inbound,
  here: StandingConsult,
  decision: Decided,
  view: DeskView,
  deps: DeskDeps,
): Promise<Effects> {
  const { ref, place, planHash } = here.consult
  const plan = await view.plan(planHash)
  if (!plan) return refuse(inbound, `The plan of ${ref} was erased, so no decision can be held against it. Ask the case anew`)
  const by = await standing(inbound.by, view)
  const lens = decision.lens === undefined ? 'No lens power was stated' : `Lens: ${readBack(decision.lens.powerD)}`
  return carryOut(inbound, here, [{ type: 'decide', by, at: deps.clock.now(), decision, ground: groundOf(plan) }], {
    done: () => `Your decision on ${ref} is recorded. ${lens}. It stands in the thread: read it there as the others do`,
    already: `That is the decision on ${ref} already`,
    also: () => [{ kind: 'thread-note', ref, place, card: decisionNoteCard(ref, { by, decision }) }],
  })
}

export async function recordOutcome(
  inbound: Inbound,
  here: StandingConsult,
  outcome: Outcome,
  view: DeskView,
  deps: DeskDeps,
): Promise<Effects> {
  const { ref } = here.consult
  const by = await standing(inbound.by, view)
  const power = outcome.lens === undefined ? '' : ` Lens: ${readBack(outcome.lens.powerD)}.`
  const decided = here.consult.decisions.at(-1)?.decision.lens?.powerD
  const other =
    outcome.lens !== undefined && decided !== undefined && Math.abs(outcome.lens.powerD - decided) >= 0.001
      ? ` This is another power than was decided: ${readBack(decided)}.`
      : ''
  return carryOut(inbound, here, [{ type: 'record-outcome', by, at: deps.clock.now(), outcome }], {
    done: () => `Recorded on ${ref}: ${outcomeInWords(outcome)}.${power}${other}`,
    already: `That outcome is recorded on ${ref} already`,
  })
}

/** A near miss in one tap: that there was one, now, by whom; what almost happened may follow in words. */
export async function recordNearMiss(
  inbound: Inbound,
  here: StandingConsult,
  said: string | undefined,
  view: DeskView,
  deps: DeskDeps,
): Promise<Effects> {
  const { ref } = here.consult
  const note = said?.trim() ?? ''
  const by = await standing(inbound.by, view)
  const outcome: Outcome = { stage: 'near-miss', on: deps.today(), ...(note === '' ? {} : { note }) }
  return carryOut(inbound, here, [{ type: 'record-outcome', by, at: deps.clock.now(), outcome }], {
    done: () =>
      note === ''
        ? `A near miss is recorded on ${ref}, without words. Say what almost happened, with no name in it: ${ref} near miss: wrong lens on the tray, seen at the pause`
        : `A near miss is recorded on ${ref}: ${note}`,
    already: `That near miss is recorded on ${ref} already`,
  })
}

const TURNED = { withdraw: 'withdrawn', close: 'closed', reopen: 'open again' } as const

async function turn(
  inbound: Inbound,
  here: StandingConsult,
  { does, because }: Extract<ThreadCommand, { does: 'withdraw' | 'close' | 'reopen' }>,
  view: DeskView,
  deps: DeskDeps,
): Promise<Effects> {
  const { ref, place } = here.consult
  const by = await standing(inbound.by, view)
  const at = deps.clock.now()
  const lead = isLead(by, deps)
  const command =
    does === 'withdraw'
      ? ({ type: 'withdraw', by, at, because } as const)
      : does === 'reopen'
        ? ({ type: 'reopen', by, at, because, lead } as const)
        : ({ type: 'close', by, at, lead, ...(because === '' ? {} : { because }) } as const)
  const sentence = `${by.name}: ${ref} is ${TURNED[does]}${because === '' ? '' : `, because: ${because}`}`
  const noted = (consult: AskedConsult): readonly Outbound[] => [
    {
      kind: 'thread-note',
      ref,
      place,
      card: threadSentenceCard(`${ref} is ${TURNED[does]}`, sentence),
      // Who has answered learns that their answer is no longer needed, or is wanted again.
      mentions: does === 'close' ? [] : consult.opinions.map((given) => given.by.id),
    },
  ]
  return carryOut(inbound, here, [command], {
    done: () => `${ref} is ${TURNED[does]}`,
    already: `${ref} is ${TURNED[does]} already`,
    also: noted,
  })
}

async function give(inbound: Inbound, here: StandingConsult, to: string, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const { ref, place } = here.consult
  const by = await standing(inbound.by, view)
  const names = namesListed(to.replace(/[.!]+$/u, ''))
  if (names.length !== 1)
    return refuse(inbound, `A consult is given to one person, and ${names.length} are named. Write: give: NAME`)
  const meant = await whoIsMeant(names, inbound, view, deps)
  const [problem] = meant.problems
  if (problem !== undefined) return refuse(inbound, `${ref} was not given on. ${problem}`)
  const members = meant.reached.filter(({ of, name }) => of !== name)
  if (meant.people.length === 0 && members.length > 0)
    return refuse(
      inbound,
      `${meant.names[0]} is a group, and a consult is given to one person. Write one of them: ${members.map(({ name }) => name).join(', ')}`,
    )
  const [heard] = meant.people
  const person = heard === undefined ? knownHere(here.consult, names[0] ?? '') : (knownHere(here.consult, heard.id) ?? heard)
  if (!person)
    return refuse(
      inbound,
      `“${names[0]}” is not known on ${ref}. Somebody who has written in its thread or answered can take it over; or mention them with @`,
    )
  return carryOut(inbound, here, [{ type: 'reassign', by, at: deps.clock.now(), lead: isLead(by, deps), to: person }], {
    done: () => `${ref} is the consult of ${person.name} now`,
    already: `${ref} is the consult of ${person.name} already`,
    also: () => [
      {
        kind: 'thread-note',
        ref,
        place,
        card: threadSentenceCard(
          `${ref} was given on`,
          `${by.name} has given ${ref} to ${person.name}, who decides and records from now on`,
        ),
        mentions: [person.id],
      },
    ],
  })
}

/** Somebody who has taken part, by name. Two of one name are no answer. */
function knownHere({ opinions, comments, askedBefore }: AskedConsult, name: string): Person | undefined {
  const people = [...opinions.map(({ by }) => by), ...comments.map(({ by }) => by), ...askedBefore]
  const matching = new Map(
    people
      .filter((person) => person.id === name || person.name.toLowerCase() === name.toLowerCase())
      .map((person) => [person.id, person]),
  )
  return matching.size === 1 ? [...matching.values()][0] : undefined
}

export async function stopReminders(inbound: Inbound, here: StandingConsult, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const { ref } = here.consult
  const by = await standing(inbound.by, view)
  return carryOut(inbound, here, [{ type: 'pause-reminders', by, at: deps.clock.now() }], {
    done: () => `You get no more reminders of ${ref}. The others still do`,
    already: `You get no reminders of ${ref} already`,
  })
}

export const isLead = ({ id }: Person, { leads }: DeskDeps): boolean => leads?.has(id) ?? false

const sentences = (problems: readonly string[]): string =>
  problems.map((problem) => (/[.!?]$/u.test(problem) ? problem : `${problem}.`)).join(' ')

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
