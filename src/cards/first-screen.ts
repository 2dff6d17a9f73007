import type { Person } from '../consult/people.js'
import type { Plan, Precaution } from '../plan/plan.js'
import { type Advice, adviceForThisEye, byHarm } from './advice.js'
import type { Block } from './card.js'
import { eyeInWords, spoken } from './case-words.js'
import { capitalised, dayInWords, uncapitalised } from './figures.js'
import { hardFacts } from './hard-facts.js'
import { type Answer, gravestFirst, opinionInWords, tally } from './people-words.js'
import { WORDS } from './words-en.js'

const AT_MOST = { criticals: 5, answers: 3 } as const

/** The critical advice for this eye, at most five: first what something can still be done about before surgery, then by harm. */
const firstCriticals = (plan: Plan): readonly Advice[] =>
  adviceForThisEye(plan)
    .filter(({ lead }) => lead.indicator === 'critical')
    .sort((one, other) => Number(other.lead.changeableBefore) - Number(one.lead.changeableBefore) || byHarm(one.lead, other.lead))
    .slice(0, AT_MOST.criticals)

/** Where the consult stands, who asks, who operates, since when, which revision. */
export function headLine(plan: Plan, askedBy: Person, revision: number, openedAt: string, stands: readonly string[]): Block {
  const grade = plan.case.surgeonGrade?.value
  const cases = plan.case.surgeonCases?.value
  const operator = grade === undefined ? WORDS.surgeonNotStated : WORDS.operates(spoken(grade))
  const graded = askedBy.grade === undefined || askedBy.name.toLowerCase().includes(askedBy.grade.toLowerCase())
  const asker = graded ? askedBy.name : `${askedBy.name}, ${askedBy.grade}`
  const parts = [
    ...stands,
    stands.length === 0 ? WORDS.askedBy(asker) : uncapitalised(WORDS.askedBy(asker)),
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

/** The gravest cautions in full. */
export function cautionBlocks(plan: Plan): readonly Block[] {
  const shown = firstCriticals(plan)
  return shown.length === 0
    ? [{ kind: 'line', text: WORDS.noCritical, weight: 'plain' }]
    : shown.map(({ lead }): Block => ({ kind: 'caution', indicator: lead.indicator, step: lead.step, text: lead.text }))
}

/** "2 more critical, 19 warnings, 9 notes": those that the first screen does not show. */
export function otherCautions(plan: Plan): readonly string[] {
  const leads = new Set(firstCriticals(plan).map(({ lead }) => lead.id))
  const counted = countedByGravity(adviceForThisEye(plan).filter(({ lead }) => !leads.has(lead.id)))
  return counted === '' ? [] : [counted]
}

/** Who has answered and how: the gravest answers in full, counted where not all are shown. */
export function answerBlocks(opinions: readonly Answer[], revision: number, comments: number): readonly Block[] {
  const talk = comments > 0 ? [WORDS.comments(comments)] : []
  const counted = answersFit(opinions)
    ? [...(opinions.length === 0 ? [WORDS.noAnswers] : []), ...talk]
    : [tally(opinions), WORDS.moreAnswers(opinions.length - AT_MOST.answers), ...talk]
  return [
    ...(counted.length > 0 ? [{ kind: 'fact', label: WORDS.answers, text: counted.join(' · ') } as const] : []),
    ...answersShown(opinions).map((given): Block => ({ kind: 'line', text: opinionInWords(given, revision), weight: 'plain' })),
  ]
}

/** The answers that stand on the first screen, the gravest first. */
export const answersShown = (opinions: readonly Answer[]): readonly Answer[] => gravestFirst(opinions).slice(0, AT_MOST.answers)

/** Whether all answers fit on the first screen. */
export const answersFit = (opinions: readonly Answer[]): boolean => opinions.length <= AT_MOST.answers

/** "Left eye (OS) · MARSH-7". */
export const titleOf = (plan: Plan, ref: string): string => `${eyeInWords(plan.case)} · ${ref}`

/** The laterality that is missing, said before anything else. */
export const eyeWarning = (plan: Plan): readonly Block[] =>
  plan.case.eye === undefined ? [{ kind: 'line', text: WORDS.eyeNotStatedLoud, weight: 'strong' }] : []

export const questionAsked = (question: string | undefined): readonly Block[] =>
  question === undefined || question === '' ? [] : [{ kind: 'fact', label: WORDS.question, text: `“${question}”` }]
