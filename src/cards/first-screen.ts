import type { Person } from '../consult/people.js'
import type { Gap, Plan, Precaution, Risk } from '../plan/plan.js'
import { lensPower, refraction } from '../terms/power.js'
import { STEPS } from '../terms/steps.js'
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
  /** ISO date. */
  readonly day: string
  readonly done: boolean
}

const AT_MOST = { criticals: 5, questions: 3, answers: 3 } as const

/** Gravest harm first, then the order of the operation, then id, so that the same plan always reads the same. */
export const byHarm = (one: Precaution, other: Precaution): number =>
  one.harm - other.harm || STEPS.indexOf(one.step) - STEPS.indexOf(other.step) || (one.id < other.id ? -1 : 1)

/** The critical cautions of this eye, at most five: first those that something can still be done about before surgery, then by harm. */
export const firstCriticals = (plan: Plan): readonly Precaution[] =>
  plan.precautions
    .filter((one) => one.finding === 'fires' && one.indicator === 'critical' && one.place === 'eye')
    .sort((one, other) => Number(other.changeableBefore) - Number(one.changeableBefore) || byHarm(one, other))
    .slice(0, AT_MOST.criticals)

/** Who asks, who operates, which revision. */
export function headLine(plan: Plan, askedBy: Person, revision: number, openedAt: string): Block {
  const grade = plan.case.surgeonGrade?.value
  const cases = plan.case.surgeonCases?.value
  const operator = grade === undefined ? WORDS.surgeonNotStated : WORDS.operates(spoken(grade))
  const asker = askedBy.grade === undefined ? askedBy.name : `${askedBy.name}, ${askedBy.grade}`
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
  const apart = lens.spread === undefined ? [] : [WORDS.formulasAsk(powerRange(lens.spread.lowD, lens.spread.highD))]
  const basis = [...apart, WORDS.basis(pick.standsOn.replace(/\.$/, '')), ...(pick.awaitsPrint ? [WORDS.awaitsPrint] : [])]
  return [
    { kind: 'fact', label: WORDS.lens, text: lens.target.stated ? power : `${power} (${WORDS.targetAssumed})`, strong: true },
    { kind: 'line', text: asSentence(`${capitalised(leaves)} · ${supply}`), weight: 'plain' },
    { kind: 'line', text: basis.join(' '), weight: 'quiet' },
  ]
}

/**
 * The gravest cautions in full, the others counted.
 * @param rest says where the others are to be read
 */
export function cautionBlocks(plan: Plan, rest: (counts: string) => string = WORDS.more): readonly Block[] {
  const shown = firstCriticals(plan)
  const others = plan.precautions.filter((one) => one.place === 'eye' && one.finding !== 'quiet' && !shown.includes(one))
  const fired = (indicator: Precaution['indicator']): number =>
    others.filter((one) => one.finding === 'fires' && one.indicator === indicator).length
  const counts = [
    [fired('critical'), WORDS.counted.critical],
    [fired('warning'), WORDS.counted.warning],
    [fired('info'), WORDS.counted.info],
  ] as const
  const undecided = others.filter((one) => one.finding === 'unknown')
  const grave = undecided.filter((one) => one.indicator === 'critical').length
  const counted = [
    ...counts.filter(([n]) => n > 0).map(([n, say]) => say(n)),
    ...(undecided.length > 0 ? [WORDS.counted.undecided(undecided.length, grave)] : []),
  ]
  return [
    ...shown.map((one): Block => ({ kind: 'caution', indicator: one.indicator, step: one.step, text: one.text })),
    ...(shown.length === 0 ? [{ kind: 'line', text: WORDS.noCritical, weight: 'plain' } as const] : []),
    ...(counted.length === 0 ? [] : [{ kind: 'line', text: rest(counted.join(', ')), weight: 'strong' } as const]),
  ]
}

/** The models whose answer belongs on the first screen: capsule rupture for the surgeon who operates first. */
const FIRST_RISKS: readonly string[] = ['capsule-rupture-odds-2009', 'capsule-rupture-score-2004']

const wordsOf = (text: string): readonly string[] => text.toLowerCase().match(/[\p{L}\p{N}]+/gu) ?? []

/** The model's sentence; of its model, population and years, what the sentence does not say itself is added. */
function riskWithOrigin(risk: Risk): string {
  const said = new Set(wordsOf(risk.words))
  const unsaid = [risk.model, risk.population, risk.years].filter((part) => wordsOf(part).some((word) => !said.has(word)))
  const sentence = risk.words.replace(/\.$/, '')
  return unsaid.length === 0 ? `${sentence}.` : `${sentence} (${unsaid.join('; ')}).`
}

/** The gravest risk for the surgeon who operates first, by each model that gives a figure. */
export function riskBlocks(plan: Plan): readonly Block[] {
  const figures = plan.risks.filter((risk) => risk.value !== undefined || risk.band !== undefined)
  const first = figures.filter((risk) => FIRST_RISKS.includes(risk.id))
  const refused = plan.risks.filter((risk) => FIRST_RISKS.includes(risk.id)).map((risk) => asSentence(risk.words))
  const texts = first.length > 0 ? first.map(riskWithOrigin) : refused
  return [{ kind: 'fact', label: WORDS.risk, text: texts.length > 0 ? texts.join(' ') : WORDS.noRisk }]
}

const taskWords = (task: Task): string =>
  task.done ? WORDS.taskDone(task.task, task.owner.name) : WORDS.taskTaken(task.task, task.owner.name, dayInWords(task.day))

function whoTakesIt(gap: Gap, tasks: readonly Task[]): readonly string[] {
  const taken = tasks.filter((task) => task.fact === gap.fact).map((task) => asSentence(taskWords(task)))
  return taken.length === 0 && gap.task !== undefined ? [WORDS.gapTask(gap.task)] : taken
}

/** A gap as a question: what is not known, what it would change, who takes it. */
export const gapInWords = (gap: Gap, tasks: readonly Task[]): string =>
  [
    WORDS.gapQuestion[gap.state](capitalised(gap.label), asSentence(capitalised(gap.wouldChange))),
    ...whoTakesIt(gap, tasks),
  ].join(' ')

/** The same for the first screen: what it would change waits below unless nobody is asked to do anything. */
function gapBriefly(gap: Gap, tasks: readonly Task[]): string {
  const takes = whoTakesIt(gap, tasks)
  return takes.length === 0 ? gapInWords(gap, tasks) : [WORDS.gapBriefly[gap.state](capitalised(gap.label)), ...takes].join(' ')
}

/** Tensions first, but one place of the three is kept for a gap when there is one. */
export function questionBlocks(plan: Plan, tasks: readonly Task[]): readonly Block[] {
  const open = plan.gaps.filter((gap) => !tasks.some((task) => task.fact === gap.fact && task.done))
  const gaps = [...open.filter((gap) => gap.state === 'doubtful'), ...open.filter((gap) => gap.state === 'missing')]
  const tensions = plan.tensions.slice(0, gaps.length > 0 ? AT_MOST.questions - 1 : AT_MOST.questions)
  const texts = [
    ...tensions.map((tension) => tension.question),
    ...gaps.slice(0, AT_MOST.questions - tensions.length).map((gap) => gapBriefly(gap, tasks)),
  ]
  const rest = plan.tensions.length + gaps.length - texts.length
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
