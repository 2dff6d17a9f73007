import { type AskedConsult, type ConsultTask, isOpen, openTasks, opinionsHidden } from '../consult/consult.js'
import { outcomeInWords } from '../consult/outcome.js'
import { isAmong } from '../consult/people.js'
import { readBack } from '../consult/signed-power.js'
import type { Block, Choice, Section } from './card.js'
import { seniorReply } from './documents/document-input.js'
import { dayInWords } from './figures.js'
import type { Task } from './first-questions.js'
import { decisionBlocks, taskInWords } from './note-cards.js'
import type { Answer } from './people-words.js'
import { CONSULT_WORDS } from './words-consult-en.js'

const strong = (text: string): Block => ({ kind: 'line', text, weight: 'strong' })
const fact = (label: string, text: string): Block => ({ kind: 'fact', label, text })

/**
 * Said on the card and on every sheet once the time set for answers has passed without a senior among them; undefined
 * before that time, and when one has answered.
 */
export function silenceInWords(consult: AskedConsult): string | undefined {
  const passed = consult.deputyAsked !== undefined || consult.reminders.some(({ kind }) => kind === 'unanswered')
  const reply = seniorReply(consult.opinions)
  if (!passed || reply === 'replied') return undefined
  const words = reply === 'none' ? CONSULT_WORDS.noSenior : CONSULT_WORDS.noSeniorKnown
  const { deputyAsked } = consult
  return deputyAsked === undefined ? words : `${words} · ${CONSULT_WORDS.deputyAsked(deputyAsked.deputy)}`
}

/** That no senior has replied in time, said by itself so that it is not read over. */
export function silenceBlocks(consult: AskedConsult): readonly Block[] {
  const silence = isOpen(consult) ? silenceInWords(consult) : undefined
  return silence === undefined ? [] : [strong(silence)]
}

/** That something its plan stood on was found wrong: seen before anything else, once for each thing. */
export function recallBlocks({ recalls }: Pick<AskedConsult, 'recalls'>): readonly Block[] {
  return recalls.map(({ at, wrong }) => strong(CONSULT_WORDS.recalled(dayInWords(at), wrong)))
}

/** Where a consult stands, before anything about the eye: state, urgency, day of surgery, whom it asks. */
export function standsInWords(consult: AskedConsult): readonly string[] {
  const { status, asking, askedBefore, turns } = consult
  const end = isOpen(consult) ? undefined : turns.at(-1)
  const state = end === undefined ? CONSULT_WORDS.status[status] : CONSULT_WORDS.turn[end.turn](end.by.name)
  return [
    end?.because === undefined ? state : `${state}: ${end.because}`,
    ...(status === 'asked' && asking.urgency !== undefined && asking.urgency !== 'routine'
      ? [CONSULT_WORDS.urgency[asking.urgency]]
      : []),
    ...(asking.surgeryDate === undefined ? [] : [CONSULT_WORDS.surgeryOn(dayInWords(asking.surgeryDate))]),
    ...(asking.asked === undefined || status !== 'asked'
      ? []
      : [CONSULT_WORDS.asked(asking.asked.map((name) => askedInWords(name, consult)).join(', '))]),
    ...(askedBefore[0] === undefined ? [] : [CONSULT_WORDS.givenOn(askedBefore[0].name)]),
  ]
}

/** A person by name; a group with how many of its people have answered, each counted once, where its people are known. */
function askedInWords(name: string, { asking, opinions }: AskedConsult): string {
  const people = (asking.reached ?? []).filter(({ of }) => of === name)
  if (people.every((one) => one.name === name)) return people.some(({ whole }) => whole) ? CONSULT_WORDS.askedWhole(name) : name
  const answered = opinions.filter(({ by }) => isAmong(by, [name], asking.reached)).length
  return CONSULT_WORDS.askedGroup(name, answered, people.length)
}

/** A task in words; without what it is where an answer above says the same. */
const taskBeside = (task: ConsultTask, said: ReadonlySet<string>): string =>
  taskInWords(said.has(task.what) ? { ...task, what: CONSULT_WORDS.task.asAbove } : task)

/**
 * What has come of it, in a line each: decision with its lens, outcome, open tasks.
 * @param answers those that are shown above
 */
export function standingBlocks(consult: AskedConsult, answers: readonly Answer[]): readonly Block[] {
  const said = new Set(answers.flatMap(({ opinion }) => (opinion.sentence === undefined ? [] : [opinion.sentence])))
  const { decisions, outcomes, revision, tasks } = consult
  const made = decisions.at(-1)
  const open = openTasks(consult)
  const done = tasks.length - open.length
  const lens = made?.decision.lens
  return [
    ...(made === undefined
      ? []
      : [
          fact(
            CONSULT_WORDS.decision.section,
            [
              made.decision.planA,
              ...(lens === undefined ? [] : [readBack(lens.powerD)]),
              made.decision.operates,
              ...(made.revision < revision ? [CONSULT_WORDS.onOlderRevision(made.revision)] : []),
            ].join(' · '),
          ),
        ]),
    ...outcomes.map(({ outcome }) => fact(CONSULT_WORDS.outcome, outcomeInWords(outcome))),
    ...(open.length === 0
      ? []
      : [
          fact(
            CONSULT_WORDS.tasks,
            [
              ...open.slice(0, TASKS_AT_MOST).map((task) => taskBeside(task, said)),
              ...(open.length > TASKS_AT_MOST ? [`+ ${open.length - TASKS_AT_MOST}`] : []),
              ...(done > 0 ? [CONSULT_WORDS.tasksDone(done)] : []),
            ].join('; '),
          ),
        ]),
  ]
}

const TASKS_AT_MOST = 3

/** In place of the answers while they are kept back: how many there are, and until when they are hidden. */
export function hiddenBlocks(consult: AskedConsult): readonly Block[] | undefined {
  if (!opinionsHidden(consult)) return undefined
  const { hideUntil } = consult.asking
  const { name } = consult.askedBy
  const until =
    typeof hideUntil === 'number' ? CONSULT_WORDS.hiddenUntilNumber(hideUntil, name) : CONSULT_WORDS.hiddenUntilLifted(name)
  return [strong(CONSULT_WORDS.hidden(consult.opinions.length, until, consult.ref))]
}

/** The decision in full, all tasks, and what happened in order. */
export function stateSections(consult: AskedConsult): readonly Section[] {
  const { decisions, tasks, revisions, turns, pictures, recalls } = consult
  const made = decisions.at(-1)
  const happened = [
    ...revisions.slice(1).map(({ revision, at, changed }) => ({
      at,
      text: [CONSULT_WORDS.revisedAt(revision, dayInWords(at)), ...changed].join(' · '),
    })),
    ...decisions.slice(0, -1).map(({ at, by, decision }) => ({
      at,
      text: `${CONSULT_WORDS.decision.by(by.name)}, ${dayInWords(at)}: ${decision.planA}`,
    })),
    ...turns.map(({ turn, by, at, because }) => ({
      at,
      text: `${CONSULT_WORDS.turn[turn](by.name)}, ${dayInWords(at)}${because === undefined ? '' : `: ${because}`}`,
    })),
    ...recalls.map(({ at, wrong, here }) => ({ at, text: CONSULT_WORDS.recalledIn(dayInWords(at), wrong, here) })),
    ...pictures.map(({ by, at, said }) => ({ at, text: CONSULT_WORDS.picture(by.name, dayInWords(at), said) })),
  ].sort((one, other) => (one.at < other.at ? -1 : one.at > other.at ? 1 : 0))
  return [
    ...(made === undefined
      ? []
      : [{ id: 'decision', title: CONSULT_WORDS.decision.section, blocks: decisionBlocks(made.decision) }]),
    ...(tasks.length === 0
      ? []
      : [{ id: 'tasks', title: CONSULT_WORDS.allTasks, blocks: [{ kind: 'list', items: tasks.map(taskInWords) } as const] }]),
    ...(happened.length === 0
      ? []
      : [
          {
            id: 'history',
            title: CONSULT_WORDS.history,
            where: 'page',
            blocks: [{ kind: 'list', items: happened.map(({ text }) => text) } as const],
          } as const,
        ]),
  ]
}

/** What else can be done here by form; each has a typed form as well. */
export function furtherChoices(consult: AskedConsult): readonly Choice[] {
  const { ref, revision, status } = consult
  const form = (label: string, id: 'opinion' | 'change' | 'decide' | 'outcome' | 'task'): Choice => ({
    label,
    emphasis: 'normal',
    does: { action: 'open-form', form: id, ref, revision },
  })
  const nearMiss: Choice = { label: CONSULT_WORDS.nearMissChoice, emphasis: 'normal', does: { action: 'near-miss', ref } }
  if (!isOpen(consult)) return status === 'closed' ? [form(CONSULT_WORDS.outcomeChoice, 'outcome'), nearMiss] : []
  const task = form(CONSULT_WORDS.taskChoice, 'task')
  const outcome = form(CONSULT_WORDS.outcomeChoice, 'outcome')
  if (status === 'operated') return [outcome, task, nearMiss]
  const reveal: Choice = { label: CONSULT_WORDS.reveal, emphasis: 'normal', does: { action: 'reveal', ref } }
  return [
    form(CONSULT_WORDS.opinionChoice, 'opinion'),
    ...(opinionsHidden(consult) ? [reveal] : []),
    task,
    form(CONSULT_WORDS.changeChoice, 'change'),
    form(CONSULT_WORDS.decideChoice, 'decide'),
    ...(status === 'decided' ? [outcome] : []),
    nearMiss,
  ]
}

/** Whether the five answers are still wanted. */
export const answersWanted = ({ status }: AskedConsult): boolean => status === 'asked' || status === 'decided'

/** Tasks that close a gap of the plan, as the plan's own sections show them under their gap. */
export const gapTasks = ({ tasks }: AskedConsult): readonly Task[] =>
  tasks.flatMap(({ fact: closes, what, owner, due, done }) =>
    closes === undefined
      ? []
      : [
          {
            fact: closes,
            task: what,
            owner: { id: owner ?? '', name: owner ?? CONSULT_WORDS.task.nobody },
            ...(due === undefined ? {} : { day: due }),
            done: done !== undefined,
          },
        ],
  )
