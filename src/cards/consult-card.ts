import type { AskedConsult } from '../consult/consult.js'
import { OPINION_WORDS, OPINIONS } from '../consult/opinion.js'
import type { Person } from '../consult/people.js'
import type { Plan } from '../plan/plan.js'
import { lensPower, refraction } from '../terms/power.js'
import type { Similar } from '../trail/similar-cases.js'
import { adviceForThisEye } from './advice.js'
import type { Block, Card, Choice, Section } from './card.js'
import { caseSection } from './case-section.js'
import {
  answersWanted,
  furtherChoices,
  gapTasks,
  hiddenBlocks,
  recallBlocks,
  silenceBlocks,
  standingBlocks,
  standsInWords,
  stateSections,
} from './consult-state.js'
import { lensBlocks } from './first-lens.js'
import { belowBlocks, questionBlocks, type Task } from './first-questions.js'
import { riskBlocks } from './first-risks.js'
import {
  answerBlocks,
  answersFit,
  answersShown,
  cautionBlocks,
  eyeWarning,
  headLine,
  questionAsked,
  titleOf,
  whatIsHard,
} from './first-screen.js'
import { forecastLine, forecastSection } from './forecast-section.js'
import { gapSection, waitingSection } from './gap-section.js'
import { lensDetailSections, orderLine } from './lens-detail-sections.js'
import { lensSection } from './lens-section.js'
import { riskModelSection, riskSection, surgerySection } from './number-sections.js'
import { type Answer, gravestFirst, opinionInWords } from './people-words.js'
import { type Picture, planPicture } from './picture.js'
import { checklistReasons, checklistSection, precautionSection, tensionSection } from './precaution-sections.js'
import { riskPicture } from './risk-picture.js'
import { similarLine, similarSection } from './similar-section.js'
import { sourcesSection } from './sources.js'
import { CONSULT_WORDS } from './words-consult-en.js'
import { WORDS } from './words-en.js'
import { SIMILAR_WORDS } from './words-similar-en.js'
import { workingSection } from './working.js'

export interface ConsultCardInput {
  readonly ref: string
  readonly plan: Plan
  readonly askedBy: Person
  /** The asker's own words. */
  readonly question?: string
  /** The revision of the case that this card shows, from 1. */
  readonly revision: number
  readonly opinions: readonly Answer[]
  /** How many comments the thread holds besides the opinions. */
  readonly comments: number
  /** ISO date or time at which the consult was asked. */
  readonly openedAt: string
  readonly tasks?: readonly Task[]
  /** Its life: state, decision, tasks, what is hidden. Absent for a plan that was put to nobody. */
  readonly consult?: AskedConsult
  /** Draws the plan and its risks, where the place it is shown in can show pictures. */
  readonly withPictures?: boolean
  /** Past consults like this one, nearest first; absent where none were looked for. */
  readonly similar?: readonly Similar[]
  /** Adds the working of every number as a last section; a page unfolds it, a thread would be long. */
  readonly withWorking?: boolean
}

function opinionChoices(ref: string, revision: number): readonly Choice[] {
  return OPINIONS.map((opinion) => ({
    label: OPINION_WORDS[opinion],
    emphasis: opinion === 'agree' ? 'primary' : opinion === 'do-not-operate-on-this-plan' ? 'danger' : 'normal',
    does: { action: 'give-opinion', ref, revision, opinion },
  }))
}

/** The short end of a content hash is enough to tell two versions apart by eye. */
const short = (version: string): string => (/^[0-9a-f]{16,}$/.test(version) ? version.slice(0, 8) : version)

/** What every card that shows a plan says once, at its end. */
export function footerOf(plan: Plan): string {
  const { soundings, formulas, rules, lensList } = plan.versions
  return [WORDS.defers, WORDS.pseudonymous, WORDS.versions(soundings, short(formulas), short(rules), short(lensList))].join(' ')
}

function summaryOf(plan: Plan, title: string): string {
  const critical = adviceForThisEye(plan).filter(({ lead }) => lead.indicator === 'critical').length
  const pick = plan.lens.recommended
  return pick === undefined
    ? WORDS.summaryNoLens(title, critical)
    : WORDS.summaryLens(title, lensPower(pick.powerD), refraction(plan.lens.target.refractionD), critical)
}

function answersSection(input: ConsultCardInput): readonly Section[] {
  if (answersFit(input.opinions)) return []
  const blocks = gravestFirst(input.opinions).map(
    (given): Block => ({ kind: 'line', text: opinionInWords(given, input.revision), weight: 'plain' }),
  )
  return [{ id: 'answers', title: WORDS.sections.answers, blocks }]
}

/** The part of a card that depends on the plan alone: first what is read everywhere, then what stands behind it. */
export const planSections = (plan: Plan, tasks: readonly Task[], riskDrawing?: Picture): readonly Section[] => [
  lensSection(plan),
  ...precautionSection(plan),
  ...tensionSection(plan),
  ...gapSection(plan, tasks),
  ...riskSection(plan, riskDrawing),
  ...surgerySection(plan),
  ...checklistSection(plan),
  caseSection(plan),
  ...forecastSection(plan),
  ...lensDetailSections(plan),
  ...waitingSection(plan),
  ...riskModelSection(plan),
  ...checklistReasons(plan),
  ...sourcesSection(plan),
]

/** The card of a consult: the first screen for a senior on a phone, everything behind it in sections. */
export function consultCard(input: ConsultCardInput): Card {
  const { ref, plan, revision } = input
  const { consult } = input
  const tasks = input.tasks ?? (consult === undefined ? [] : gapTasks(consult))
  const hidden = consult && hiddenBlocks(consult)
  const wanted = consult === undefined || answersWanted(consult)
  const title = titleOf(plan, ref)
  const [picture, risks] = input.withPictures === true ? [planPicture(plan), riskPicture(plan)] : []
  return {
    title,
    summary: summaryOf(plan, title),
    first: [
      ...eyeWarning(plan),
      headLine(plan, input.askedBy, revision, input.openedAt, consult === undefined ? [] : standsInWords(consult)),
      ...(consult === undefined ? [] : [...recallBlocks(consult), ...silenceBlocks(consult)]),
      whatIsHard(plan),
      ...questionAsked(input.question),
      ...lensBlocks(plan),
      ...orderLine(plan, input.openedAt),
      ...forecastLine(plan),
      ...cautionBlocks(plan),
      ...riskBlocks(plan),
      ...questionBlocks(plan, tasks),
      ...belowBlocks(plan, tasks, input.similar?.length === 0 ? [SIMILAR_WORDS.none] : []),
      ...(input.similar === undefined || input.similar.length === 0 ? [] : [similarLine(input.similar)]),
      ...(hidden ?? answerBlocks(input.opinions, revision, input.comments)),
      ...(consult === undefined ? [] : standingBlocks(consult, hidden === undefined ? answersShown(input.opinions) : [])),
    ],
    sections: [
      ...(picture === undefined ? [] : [{ id: 'picture', title: WORDS.sections.picture, blocks: [picture] } satisfies Section]),
      ...(consult === undefined ? [] : stateSections(consult)),
      ...(hidden === undefined ? answersSection(input) : []),
      ...planSections(plan, tasks, risks),
      ...(input.similar === undefined || input.similar.length === 0 ? [] : [similarSection(input.similar)]),
      ...(input.withWorking === true ? workingSection(plan) : []),
    ],
    choices: wanted ? opinionChoices(ref, revision) : [],
    ...(consult === undefined ? {} : { more: furtherChoices(consult) }),
    typing: wanted ? WORDS.typing : CONSULT_WORDS.typing[consult.status],
    footer: footerOf(plan),
  }
}
