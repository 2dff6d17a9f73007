import type { Plan, Precaution } from '../plan/plan.js'
import { SURENESS_WORDS, type Sureness } from '../terms/source.js'
import { INDICATORS, STEPS } from '../terms/steps.js'
import type { Block, Section } from './card.js'
import { asSentence } from './figures.js'
import { byHarm } from './first-screen.js'
import { WORDS } from './words-en.js'

interface Cited {
  readonly cite: string
  readonly year?: number | undefined
  readonly sureness: Sureness
}

/** "Author A. Journal 2011;37:2018 (from memory of the source, awaiting a check in print)". */
export const sourceInWords = (source: Cited): string => {
  const year = source.year === undefined || source.cite.includes(String(source.year)) ? '' : `, ${source.year}`
  return `${source.cite}${year} (${SURENESS_WORDS[source.sureness]})`
}

function whyInWords(one: Precaution): string {
  const why = asSentence(one.why)
  const sourced = one.sources.length === 0 ? why : WORDS.whySource(why, one.sources.map(sourceInWords).join('; '))
  return one.layer === 'shipped' ? sourced : `${sourced} ${WORDS.byDepartment(one.layer)}`
}

const asCaution = (one: Precaution): Block => ({
  kind: 'caution',
  indicator: one.indicator,
  step: one.step,
  text: one.text,
  why: whyInWords(one),
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
  const fired = plan.precautions.filter((one) => one.finding === 'fires' && one.place === 'eye').sort(byStep)
  const quiet = plan.precautions.filter((one) => one.finding === 'quiet').length
  return sectionOf('precautions', WORDS.sections.precautions, [
    ...fired.map(asCaution),
    ...(quiet > 0 ? [{ kind: 'line', text: WORDS.quiet(quiet), weight: 'quiet' } as const] : []),
  ])
}

/** What holds for every operation. */
export const checklistSection = (plan: Plan): readonly Section[] =>
  sectionOf(
    'checklist',
    WORDS.sections.checklist,
    plan.precautions
      .filter((one) => one.finding === 'fires' && one.place === 'checklist')
      .sort(byStep)
      .map(asCaution),
  )

/** Each tension as a question, with both sides and what each stands on. */
export const tensionSection = (plan: Plan): readonly Section[] =>
  sectionOf(
    'tensions',
    WORDS.sections.tensions,
    plan.tensions.flatMap((tension): readonly Block[] => [
      { kind: 'question', text: tension.question },
      {
        kind: 'list',
        items: tension.sides.map((side, index) => {
          const letter = index === 0 ? 'A' : 'B'
          const sources = side.sources.length === 0 ? '' : ` ${WORDS.source}: ${side.sources.map(sourceInWords).join('; ')}.`
          return `${WORDS.pull(letter)}: ${asSentence(side.pull)}${sources}`
        }),
      },
    ]),
  )
