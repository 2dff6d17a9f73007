import type { Plan, Precaution } from '../plan/plan.js'
import { INDICATORS, STEPS } from '../terms/steps.js'
import { type Advice, adviceForThisEye, byHarm } from './advice.js'
import type { Block, Section } from './card.js'
import { asSentence, capitalised } from './figures.js'
import { inBrackets } from './sources.js'
import { WORDS } from './words-en.js'

function whyInWords(one: Precaution): string {
  const why = asSentence(one.why)
  const cited = inBrackets(one.sources)
  // Many reasons say themselves that they are common practice.
  const said = cited === `[${WORDS.commonPractice}]` && why.toLowerCase().includes(WORDS.commonPractice)
  const department = one.layer === 'shipped' ? '' : WORDS.byDepartment(one.layer)
  return [why, said ? '' : cited, department].filter((part) => part !== '').join(' ')
}

/** One advice as one caution; what fired with it stands under it. */
const asCaution = ({ lead, others }: Advice): Block => ({
  kind: 'caution',
  indicator: lead.indicator,
  step: lead.step,
  text: lead.text,
  why: [whyInWords(lead), ...others.map((one) => WORDS.sameAdvice(`${one.text} ${whyInWords(one)}`))].join(' '),
})

/** Step by step, and within a step critical before warning before note. */
export const byStep = (one: Precaution, other: Precaution): number =>
  STEPS.indexOf(one.step) - STEPS.indexOf(other.step) ||
  INDICATORS.indexOf(one.indicator) - INDICATORS.indexOf(other.indicator) ||
  byHarm(one, other)

const sectionOf = (id: string, title: string, blocks: readonly Block[]): readonly Section[] =>
  blocks.length === 0 ? [] : [{ id, title, blocks }]

/** All that fired for this eye, in the order of the operation. */
export function precautionSection(plan: Plan): readonly Section[] {
  const fired = [...adviceForThisEye(plan)].sort((one, other) => byStep(one.lead, other.lead))
  const quiet = plan.precautions.filter((one) => one.finding === 'quiet').length
  return sectionOf('precautions', WORDS.sections.precautions, [
    ...fired.map(asCaution),
    ...(quiet > 0 ? [{ kind: 'line', text: WORDS.quiet(quiet), weight: 'quiet' } as const] : []),
  ])
}

const checklist = (plan: Plan): readonly Precaution[] =>
  plan.precautions.filter((one) => one.finding === 'fires' && one.place === 'checklist').sort(byStep)

/** What holds for every operation, a line each. */
export function checklistSection(plan: Plan): readonly Section[] {
  const items = checklist(plan).map((one) => {
    const gravity = one.indicator === 'critical' ? ` (${WORDS.caution.critical.toLowerCase()})` : ''
    return `${capitalised(WORDS.steps[one.step])}${gravity}: ${one.text}`
  })
  return sectionOf('checklist', WORDS.sections.checklist, items.length === 0 ? [] : [{ kind: 'list', items }])
}

/** Why each line of the checklist stands there. */
export const checklistReasons = (plan: Plan): readonly Section[] =>
  sectionOf(
    'checklist-reasons',
    WORDS.sections.checklistReasons,
    checklist(plan).map((one): Block => ({ kind: 'fact', label: one.text.replace(/\.$/, ''), text: whyInWords(one) })),
  ).map((section) => ({ ...section, where: 'page' }))

/** Each tension as a question, with both sides and what each stands on. */
export const tensionSection = (plan: Plan): readonly Section[] =>
  sectionOf(
    'tensions',
    WORDS.sections.tensions,
    plan.tensions.flatMap((tension): readonly Block[] => [
      { kind: 'question', text: tension.question },
      {
        kind: 'list',
        items: tension.sides.map((side) => `${asSentence(side.pull)} ${inBrackets(side.sources)}`.trim()),
      },
    ]),
  )
