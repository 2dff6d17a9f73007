import type { AskedConsult, ConsultTask } from '../consult/consult.js'
import type { MadeDecision } from '../consult/consult-parts.js'
import type { Decided } from '../consult/decided.js'
import type { ReminderKind } from '../consult/events.js'
import { readBack } from '../consult/signed-power.js'
import type { Block, Card, Choice } from './card.js'
import { asSentence, capitalised, dayInWords } from './figures.js'
import { summarySentence } from './short-cards.js'
import { CONSULT_WORDS } from './words-consult-en.js'
import { WORDS } from './words-en.js'

const noteOf = (title: string, summary: string, first: readonly Block[], choices: readonly Choice[] = [], typing = ''): Card => ({
  title,
  summary: summarySentence(summary, title),
  first,
  sections: [],
  choices,
  typing,
  footer: '',
})

const line = (text: string, weight: 'plain' | 'strong' | 'quiet' = 'plain'): Block => ({ kind: 'line', text, weight })
const part = (heading: string, items: readonly string[]): readonly Block[] =>
  items.length === 0 ? [] : [line(heading, 'strong'), { kind: 'list', items }]

export interface ChangedNote {
  readonly ref: string
  readonly revision: number
  readonly changes: {
    readonly inputs: readonly string[]
    readonly numbers: readonly string[]
    readonly gained: readonly string[]
    readonly lost: readonly string[]
  }
  /** Names of those who had answered on the older version. */
  readonly answeredBefore: readonly string[]
  readonly wasDecided: boolean
}

/** What a revision changed: in what was stated, in the numbers, in the precautions, and whose answer is on the older one. */
export function changedNoteCard({ ref, revision, changes, answeredBefore, wasDecided }: ChangedNote): Card {
  const { inputs, numbers, gained, lost } = changes
  const words = CONSULT_WORDS.changed
  return noteOf(words.title(ref, revision), words.summary(ref, revision), [
    ...part(words.inputs, inputs),
    ...(numbers.length === 0 ? [line(words.numbersSame)] : part(words.numbers, numbers)),
    ...part(words.gained, gained),
    ...part(words.lost, lost),
    ...(gained.length + lost.length === 0 ? [line(words.precautionsSame)] : []),
    ...(answeredBefore.length === 0 ? [] : [line(words.answeredBefore(answeredBefore.join(', '), revision - 1), 'strong')]),
    ...(wasDecided ? [line(words.wasDecided, 'strong')] : []),
  ])
}

/** A decision in blocks, each part under its name; the power is read back with its sign in words. */
export function decisionBlocks(decision: Decided): readonly Block[] {
  const words = CONSULT_WORDS.decision
  const fact = (label: string, text: string | undefined): readonly Block[] =>
    text === undefined || text === '' ? [] : [{ kind: 'fact', label, text }]
  const { lens, lensBecause, follows, departs, overrides } = decision
  return [
    ...fact(words.planA, decision.planA),
    ...fact(words.planB, decision.planB),
    ...fact(words.trigger, decision.trigger),
    ...fact(words.operates, decision.operates),
    lens === undefined
      ? line(words.noLens, 'strong')
      : {
          kind: 'fact',
          label: words.lens,
          text: [readBack(lens.powerD), ...(lens.label === undefined ? [] : [lens.label])].join(' · '),
          strong: true,
        },
    ...fact(words.lensBecause, lensBecause),
    ...fact(words.follows, follows.join(', ')),
    ...departs.flatMap(({ from, because }) => fact(words.departs(from), because)),
    ...overrides.flatMap(({ precaution, because }) => fact(words.overrides(precaution), because)),
  ]
}

export const decisionNoteCard = (ref: string, { by, decision }: Pick<MadeDecision, 'by' | 'decision'>): Card =>
  noteOf(CONSULT_WORDS.decision.title(ref), CONSULT_WORDS.decision.summary(ref, by.name), [
    line(CONSULT_WORDS.decision.by(by.name), 'strong'),
    ...decisionBlocks(decision),
  ])

/** One sentence for the thread, such as that a consult was withdrawn and why. */
export const threadSentenceCard = (title: string, sentence: string): Card => noteOf(title, sentence, [line(asSentence(sentence))])

/** "T1 B-scan · Alder · by 4 March 2026 · done: flat". */
export function taskInWords({ task, what, owner, due, done }: ConsultTask): string {
  const words = CONSULT_WORDS.task
  return [
    `${task} ${what}`,
    owner ?? words.nobody,
    ...(due === undefined ? [] : [words.by(dayInWords(due))]),
    ...(done === undefined ? [] : [done.result === undefined ? words.done : words.doneWith(done.result)]),
  ].join(' · ')
}

/** Buttons by which tasks are said to be done, at most four: more would not fit a phone. */
export const taskChoices = (ref: string, tasks: readonly ConsultTask[]): readonly Choice[] =>
  tasks.slice(0, 4).map(({ task }) => ({
    label: CONSULT_WORDS.task.doneChoice(task),
    emphasis: 'normal',
    does: { action: 'task-done', ref, task },
  }))

/**
 * A reminder, with what it is about and how to stop it.
 * @param read in the consult's thread, or by one person alone, who names the consult to answer
 */
export function reminderCard(
  consult: AskedConsult,
  kind: ReminderKind,
  eye: string,
  read: 'in-thread' | 'alone' = 'in-thread',
): Card {
  const { ref, revision, tasks, asking } = consult
  const alone = read === 'alone'
  const words = CONSULT_WORDS.reminder
  const stop: Choice = { label: words.stop, emphasis: 'normal', does: { action: 'stop-reminders', ref } }
  const title = `${capitalised(eye)} · ${ref}`
  const open = tasks.filter(({ done }) => done === undefined)
  switch (kind) {
    case 'unanswered': {
      const sentence =
        asking.deputy === undefined ? words.unanswered(consult.askedBy.name) : words.deputy(consult.askedBy.name, asking.deputy)
      const surgery = asking.surgeryDate === undefined ? [] : [line(words.surgery(dayInWords(asking.surgeryDate)), 'strong')]
      const answer: Choice = {
        label: CONSULT_WORDS.opinionChoice,
        emphasis: 'primary',
        does: { action: 'open-form', form: 'opinion', ref, revision },
      }
      const choices = alone ? [answer, stop] : [stop]
      const typing = alone ? words.aloneTyping(`${ref} agree but: …`) : WORDS.typing
      return noteOf(title, sentence, [line(sentence, 'strong'), ...surgery], choices, typing)
    }
    case 'open-tasks': {
      const sentence = words.openTasks(open.length)
      return noteOf(
        title,
        sentence,
        [line(sentence, 'strong'), { kind: 'list', items: open.map(taskInWords) }],
        [...taskChoices(ref, open), stop],
        alone ? words.aloneTyping(`${ref} done T1: …`) : words.tasksTyping,
      )
    }
    case 'outcome-first-weeks':
    case 'outcome-four-to-six-weeks':
    case 'outcome-twelve-months': {
      const operated = consult.outcomes.some(({ outcome }) => outcome.stage !== 'near-miss')
      const sentence = {
        'outcome-first-weeks': operated ? words.outcomeFirstWeeks : words.operationMissing,
        'outcome-four-to-six-weeks': operated ? words.outcomeWeeks : words.outcomeWeeksMissing,
        'outcome-twelve-months': words.outcomeYear,
      }[kind]
      const typed = operated ? words.outcomeTyped[kind] : words.operationTyped
      const record: Choice = { label: words.record, emphasis: 'primary', does: { action: 'open-form', form: 'outcome', ref } }
      return noteOf(
        title,
        sentence,
        [line(sentence, 'strong')],
        [record, stop],
        alone ? words.aloneTyping(`${ref} ${typed}`) : words.threadTyping(typed),
      )
    }
    default:
      return unreachable(kind)
  }
}

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
