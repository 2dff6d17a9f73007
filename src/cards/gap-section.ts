import type { Plan, Precaution } from '../plan/plan.js'
import type { Block, Section } from './card.js'
import { asSentence } from './figures.js'
import { gapInWords, type Task } from './first-screen.js'
import { byStep } from './precaution-sections.js'
import { WORDS } from './words-en.js'

const undecidedWords = (one: Precaution): string => WORDS.undecided(WORDS.caution[one.indicator], WORDS.steps[one.step], one.text)

const listOf = (items: readonly string[]): readonly Block[] => (items.length === 0 ? [] : [{ kind: 'list', items }])

/**
 * Every gap as a question, with the precautions that cannot be judged without it. A precaution that waits for several
 * facts stands under the first of them; one that waits for a fact nobody is sent to find stands at the end with its question.
 */
export function gapSection(plan: Plan, tasks: readonly Task[]): readonly Section[] {
  const undecided = plan.precautions.filter((one) => one.finding === 'unknown').sort(byStep)
  const gapOf = (one: Precaution): string | undefined => plan.gaps.find((gap) => one.missingFacts.includes(gap.fact))?.fact
  const waitingFor = (fact: string | undefined): readonly Precaution[] => undecided.filter((one) => gapOf(one) === fact)
  const alone = waitingFor(undefined).map((one) => {
    const ask = asSentence(one.ask ?? WORDS.askAbout(one.missingFacts.join(', ')))
    return `${ask} ${undecidedWords(one)}`
  })
  const blocks: readonly Block[] = [
    ...plan.gaps.flatMap((gap): readonly Block[] => [
      { kind: 'question', text: gapInWords(gap, tasks) },
      ...listOf(waitingFor(gap.fact).map(undecidedWords)),
    ]),
    ...(alone.length === 0 ? [] : [{ kind: 'line', text: WORDS.alsoUndecided, weight: 'strong' } as const]),
    ...listOf(alone),
  ]
  return blocks.length === 0 ? [] : [{ id: 'gaps', title: WORDS.sections.gaps, blocks }]
}
