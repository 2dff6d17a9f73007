import type { Person } from '../consult/people.js'
import type { Gap, Plan, Precaution } from '../plan/plan.js'
import { lensPower, refraction } from '../terms/power.js'
import { type Advice, adviceForThisEye, byHarm } from './advice.js'
import type { Block } from './card.js'
import { eyeInWords, spoken } from './case-words.js'
import { asSentence, capitalised, dayInWords, powerRange, refractionRange } from './figures.js'
import { hardFacts } from './hard-facts.js'
import { type Answer, gravestFirst, opinionInWords, tally } from './people-words.js'
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

const AT_MOST = { criticals: 5, questions: 3, answers: 3 } as const

/** The critical advice for this eye, at most five: first what something can still be done about before surgery, then by harm. */
const firstCriticals = (plan: Plan): readonly Advice[] =>
  adviceForThisEye(plan)
    .filter(({ lead }) => lead.indicator === 'critical')
    .sort((one, other) => Number(other.lead.changeableBefore) - Number(one.lead.changeableBefore) || byHarm(one.lead, other.lead))
    .slice(0, AT_MOST.criticals)

/** Who asks, who operates, which revision. */
export function headLine(plan: Plan, askedBy: Person, revision: number, openedAt: string): Block {
  const grade = plan.case.surgeonGrade?.value
  const cases = plan.case.surgeonCases?.value
  const operator = grade === undefined ? WORDS.surgeonNotStated : WORDS.operates(spoken(grade))
  const graded = askedBy.grade === undefined || askedBy.name.toLowerCase().includes(askedBy.grade.toLowerCase())
  const asker = graded ? askedBy.name : `${askedBy.name}, ${askedBy.grade}`
  const parts = [
    WORDS.askedBy(asker),
    cases === undefined ? operator : `${operator} (${WORDS.operationsDone(cases)})`,
    dayInWords(openedAt),
    ...(revision > 1 ? [WORDS.revision(revision)] : []),
  ]
  return { kind: 'line', text: parts.join(' · '), weight: 'plain' }
}

export function whatIsHard(plan: Plan): Block {
  const facts = hardFacts(plan)
  return { kind: 'fact', label: WORDS.hard, text: facts.length > 0 ? capitalised(facts.join(' · ')) : WORDS.hardNothingStated }
}

/** The signed power, what it leaves, how far the formulas are apart; or what is missing for it. */
export function lensBlocks(plan: Plan): readonly Block[] {
  const { lens } = plan
  const pick = lens.recommended
  if (pick === undefined) {
    const reasons =
      lens.missing.length > 0
        ? lens.missing.map((gap) => asSentence(WORDS.noLensMissing(gap.label, gap.wouldChange)))
        : [asSentence(lens.noRecommendation ?? WORDS.lensUnknownWhy)]
    return [
      { kind: 'fact', label: WORDS.noLens, text: reasons.join(' '), strong: true },
      ...(lens.spread === undefined
        ? []
        : [{ kind: 'line', text: WORDS.formulasAsk(powerRange(lens.spread.lowD, lens.spread.highD)), weight: 'plain' } as const]),
    ]
  }
  const target = refraction(lens.target.refractionD)
  const left = refractionRange(pick.leaves.lowD, pick.leaves.highD)
  const leaves =
    pick.leavesUnadjusted === undefined
      ? WORDS.leaves(left)
      : WORDS.leavesBoth(left, refractionRange(pick.leavesUnadjusted.lowD, pick.leavesUnadjusted.highD))
  const supply =
    pick.supply === 'to-order' && pick.orderDays !== undefined ? WORDS.orderDays(pick.orderDays) : WORDS.supply[pick.supply]
  const power = WORDS.lensFor(lensPower(pick.powerD), target)
  // Where two kinds of rows leave different refractions, that is the disagreement; else it is the span of the powers.
  const apart =
    lens.spread === undefined || pick.leavesUnadjusted !== undefined
      ? []
      : [WORDS.formulasAsk(powerRange(lens.spread.lowD, lens.spread.highD))]
  const stands = WORDS.basis(pick.standsOn.replace(/\.$/, ''))
  return [
    {
      kind: 'fact',
      label: WORDS.lensSupply(supply),
      text: lens.target.stated ? power : `${power} (${WORDS.targetAssumed})`,
      strong: true,
    },
    { kind: 'line', text: asSentence(capitalised(leaves)), weight: 'plain' },
    {
      kind: 'line',
      text: [...apart, asSentence(pick.awaitsPrint ? `${stands}; ${WORDS.awaitsPrint}` : stands)].join(' '),
      weight: 'quiet',
    },
  ]
}

const NAMED_AT_MOST = 56

/** The facts nobody stated, in the order of what they decide: as many as fit a line or two by name, the others counted. */
function notStated(plan: Plan): readonly Block[] {
  const labels = plan.gaps.filter((gap) => gap.state === 'missing').map((gap) => WORDS.shortFact[gap.fact] ?? gap.label)
  if (labels.length === 0) return []
  const named: string[] = []
  for (const label of labels) {
    if (named.length > 0 && [...named, label].join(', ').length > NAMED_AT_MOST) break
    named.push(label)
  }
  return [{ kind: 'fact', label: WORDS.notStated, text: WORDS.andMore(named.join(', '), labels.length - named.length) }]
}

/** "2 more critical, 19 warnings, 9 notes"; empty where there is nothing to count. */
function countedByGravity(advice: readonly Advice[]): string {
  const of = (indicator: Precaution['indicator']): number => advice.filter(({ lead }) => lead.indicator === indicator).length
  const counts = [
    [of('critical'), WORDS.counted.critical],
    [of('warning'), WORDS.counted.warning],
    [of('info'), WORDS.counted.info],
  ] as const
  return counts
    .filter(([n]) => n > 0)
    .map(([n, say]) => say(n))
    .join(', ')
}

/**
 * The gravest cautions in full, the others counted, and what nobody stated.
 * @param rest says where the others are to be read
 */
export function cautionBlocks(plan: Plan, rest: (counts: string) => string = WORDS.more): readonly Block[] {
  const shown = firstCriticals(plan)
  const leads = new Set(shown.map(({ lead }) => lead.id))
  const counted = countedByGravity(adviceForThisEye(plan).filter(({ lead }) => !leads.has(lead.id)))
  return [
    ...shown.map(({ lead }): Block => ({ kind: 'caution', indicator: lead.indicator, step: lead.step, text: lead.text })),
    ...(shown.length === 0 ? [{ kind: 'line', text: WORDS.noCritical, weight: 'plain' } as const] : []),
    ...(counted === '' ? [] : [{ kind: 'line', text: rest(counted), weight: 'plain' } as const]),
    ...notStated(plan),
  ]
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

/** Tensions first, but one place of the three is kept for a gap when there is one. */
export function questionBlocks(plan: Plan, tasks: readonly Task[]): readonly Block[] {
  const open = plan.gaps.filter((gap) => !tasks.some((task) => task.fact === gap.fact && task.done))
  const gaps = [...open.filter((gap) => gap.state === 'doubtful'), ...open.filter((gap) => gap.state === 'missing')]
  const tensions = plan.tensions.slice(0, gaps.length > 0 ? AT_MOST.questions - 1 : AT_MOST.questions)
  const texts = [
    ...tensions.map((tension) => tension.question),
    ...gaps.slice(0, AT_MOST.questions - tensions.length).map((gap) => gapInWords(gap, tasks)),
  ]
  const rest = plan.tensions.length - tensions.length
  return [
    ...texts.map((text): Block => ({ kind: 'question', text })),
    ...(rest > 0 ? [{ kind: 'line', text: WORDS.moreQuestions(rest), weight: 'quiet' } as const] : []),
  ]
}

/** Who has answered and how: a tally, then the gravest answers in full. */
export function answerBlocks(opinions: readonly Answer[], revision: number, comments: number): readonly Block[] {
  const talk = comments > 0 ? [WORDS.comments(comments)] : []
  if (opinions.length === 0) return [{ kind: 'fact', label: WORDS.answers, text: [WORDS.noAnswers, ...talk].join(' · ') }]
  const rest = opinions.length - AT_MOST.answers
  const counted = [...(opinions.length > 1 ? [tally(opinions)] : []), ...(rest > 0 ? [WORDS.moreAnswers(rest)] : []), ...talk]
  const shown = gravestFirst(opinions).slice(0, AT_MOST.answers)
  return [
    ...(counted.length > 0 ? [{ kind: 'fact', label: WORDS.answers, text: counted.join(' · ') } as const] : []),
    ...shown.map((given): Block => ({ kind: 'line', text: opinionInWords(given, revision), weight: 'plain' })),
  ]
}

/** Whether all answers fit on the first screen. */
export const answersFit = (opinions: readonly Answer[]): boolean => opinions.length <= AT_MOST.answers

/** "Left eye (OS) · MARSH-7". */
export const titleOf = (plan: Plan, ref: string): string => `${eyeInWords(plan.case)} · ${ref}`

/** The laterality that is missing, said before anything else. */
export const eyeWarning = (plan: Plan): readonly Block[] =>
  plan.case.eye === undefined ? [{ kind: 'line', text: WORDS.eyeNotStatedLoud, weight: 'strong' }] : []

export const questionAsked = (question: string | undefined): readonly Block[] =>
  question === undefined || question === '' ? [] : [{ kind: 'fact', label: WORDS.question, text: `“${question}”` }]
