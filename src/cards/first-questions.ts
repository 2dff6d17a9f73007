import type { Person } from '../consult/people.js'
import type { Gap, Plan } from '../plan/plan.js'
import type { Block } from './card.js'
import { asSentence, capitalised, dayInWords } from './figures.js'
import { saidForNoLens } from './first-lens.js'
import { otherCautions } from './first-screen.js'
import { WORDS } from './words-en.js'

/** A gap given to somebody with a day. */
export interface Task {
  /** The fact whose gap it closes. */
  readonly fact: string
  readonly task: string
  readonly owner: Person
  /** ISO date; absent: no day was set. */
  readonly day?: string
  readonly done: boolean
}

const QUESTIONS_AT_MOST = 3

/** What is asked on the first screen. */
interface FirstQuestions {
  readonly tensions: Plan['tensions']
  readonly gaps: readonly Gap[]
}

const taskWords = (task: Task): string =>
  task.done
    ? WORDS.taskDone(task.task, task.owner.name)
    : task.day === undefined
      ? `${task.task}: ${task.owner.name}`
      : WORDS.taskTaken(task.task, task.owner.name, dayInWords(task.day))

/** Who has taken what the gap asks for, or the question who will. */
export function whoTakesIt(gap: Gap, tasks: readonly Task[]): readonly string[] {
  const taken = tasks.filter((task) => task.fact === gap.fact).map((task) => asSentence(taskWords(task)))
  return taken.length === 0 && gap.task !== undefined ? [WORDS.gapTask(gap.task)] : taken
}

/** A gap as a question: the task looks for somebody to take it; without one, what is not known and what it would change. */
const gapInWords = (gap: Gap, tasks: readonly Task[]): string => {
  const takes = whoTakesIt(gap, tasks)
  return takes.length > 0
    ? capitalised(takes.join(' '))
    : WORDS.gapQuestion[gap.state](capitalised(gap.label), asSentence(capitalised(gap.wouldChange)))
}

/** The gaps that are open, the doubtful ones first, without those that the lens line has said and nobody can be sent for. */
function openGaps(plan: Plan, tasks: readonly Task[]): readonly Gap[] {
  const said = saidForNoLens(plan)
  const open = plan.gaps.filter(
    (gap) => !tasks.some((task) => task.fact === gap.fact && task.done) && !(gap.task === undefined && said.has(gap.fact)),
  )
  return [...open.filter((gap) => gap.state === 'doubtful'), ...open.filter((gap) => gap.state === 'missing')]
}

/** Tensions first, but one place of the three is kept for a gap when there is one. */
function firstQuestions(plan: Plan, tasks: readonly Task[]): FirstQuestions {
  const gaps = openGaps(plan, tasks)
  const tensions = plan.tensions.slice(0, gaps.length > 0 ? QUESTIONS_AT_MOST - 1 : QUESTIONS_AT_MOST)
  return { tensions, gaps: gaps.slice(0, QUESTIONS_AT_MOST - tensions.length) }
}

export function questionBlocks(plan: Plan, tasks: readonly Task[]): readonly Block[] {
  const { tensions, gaps } = firstQuestions(plan, tasks)
  const texts = [...tensions.map((tension) => tension.question), ...gaps.map((gap) => gapInWords(gap, tasks))]
  return texts.map((text): Block => ({ kind: 'question', text }))
}

const NAMED_AT_MOST = 40

/** How many facts nobody stated, with the names of as many as fit that are not on the screen already. */
function notStated(plan: Plan, asked: readonly Gap[]): readonly string[] {
  const missing = plan.gaps.filter((gap) => gap.state === 'missing')
  if (missing.length === 0) return []
  const said = new Set([...saidForNoLens(plan), ...asked.map(({ fact }) => fact)])
  const unsaid = missing.filter(({ fact }) => !said.has(fact))
  const named: string[] = []
  for (const gap of unsaid) {
    const label = WORDS.shortFact[gap.fact] ?? gap.label
    if (named.length > 0 && [...named, label].join(', ').length > NAMED_AT_MOST) break
    named.push(label)
  }
  return [WORDS.notStatedCount(missing.length, named.join(', '), named.length < unsaid.length)]
}

/** All that is only counted: further cautions, choices to weigh, and facts that nobody stated. */
const counted = (plan: Plan, { tensions, gaps }: FirstQuestions): readonly string[] => {
  const choices = plan.tensions.length - tensions.length
  return [...otherCautions(plan), ...(choices > 0 ? [WORDS.moreChoices(choices)] : []), ...notStated(plan, gaps)]
}

const oneLine = (label: string, texts: readonly string[]): readonly Block[] =>
  texts.length === 0 ? [] : [{ kind: 'fact', label, text: texts.join(', ') }]

/**
 * One line for all that this screen only counts.
 * @param further counts that do not come from the plan
 */
export const belowBlocks = (plan: Plan, tasks: readonly Task[], further: readonly string[] = []): readonly Block[] =>
  oneLine(WORDS.below, [...counted(plan, firstQuestions(plan, tasks)), ...further])

/** The same of a case that is not posted yet, whose questions are not shown. */
export const postedWithBlocks = (plan: Plan): readonly Block[] =>
  oneLine(WORDS.postedWith, counted(plan, { tensions: [], gaps: [] }))
