import type { Gap, Plan, Precaution } from '../plan/plan.js'
import { INDICATORS } from '../terms/steps.js'
import type { Block, Section } from './card.js'
import { asSentence, capitalised } from './figures.js'
import { type Task, whoTakesIt } from './first-questions.js'
import { byStep } from './precaution-sections.js'
import { WORDS } from './words-en.js'

const undecidedWords = (one: Precaution): string => WORDS.undecided(WORDS.caution[one.indicator], WORDS.steps[one.step], one.text)

const listOf = (items: readonly string[]): readonly Block[] => (items.length === 0 ? [] : [{ kind: 'list', items }])

/** Gaps that the same question closes. */
interface Asked {
  readonly question: string
  readonly gaps: readonly Gap[]
  /** What cannot be judged before it is answered. */
  readonly decides: readonly Precaution[]
}

/** What would change, without the plan's count of further precautions: they are counted here by gravity. */
const questionOf = (gap: Gap): string =>
  asSentence(capitalised(gap.wouldChange.replace(/ It would decide \d+ more precautions?\.$/, '')))

const factsOf = ({ gaps }: Asked): string =>
  capitalised(gaps.map((gap) => (gap.state === 'doubtful' ? WORDS.inDoubt(gap.label) : gap.label)).join(', '))

/** Every gap, those with the same question together. A precaution that waits for several facts stands under the first of them. */
function asked(plan: Plan): readonly Asked[] {
  const undecided = plan.precautions.filter((one) => one.finding === 'unknown').sort(byStep)
  const firstFact = (one: Precaution) => plan.gaps.find((gap) => one.missingFacts.includes(gap.fact))?.fact
  const questions = [...new Set(plan.gaps.map(questionOf))]
  return questions.map((question) => {
    const gaps = plan.gaps.filter((gap) => questionOf(gap) === question)
    const facts = new Set(gaps.map((gap) => gap.fact))
    return { question, gaps, decides: undecided.filter((one) => facts.has(firstFact(one) ?? '')) }
  })
}

function decidesInWords(decides: readonly Precaution[]): readonly string[] {
  const counts = INDICATORS.flatMap((indicator) => {
    const n = decides.filter((one) => one.indicator === indicator).length
    return n === 0 ? [] : [WORDS.decided[indicator](n)]
  })
  return counts.length === 0 ? [] : [WORDS.decides(counts.join(', '))]
}

const wordsOf = (text: string): readonly string[] => text.toLowerCase().match(/[\p{L}\p{N}]+/gu) ?? []

/** The question; the facts before it only where it does not name them itself. */
function askedInWords(one: Asked): string {
  const named = new Set(wordsOf(one.question))
  const unnamed = one.gaps.some((gap) => gap.state === 'doubtful') || !wordsOf(factsOf(one)).every((word) => named.has(word))
  return unnamed ? `${factsOf(one)}: ${one.question}` : one.question
}

/** Every gap as a question, with how much hangs on it and who takes it. */
export function gapSection(plan: Plan, tasks: readonly Task[]): readonly Section[] {
  const groups = asked(plan)
  const items = groups.map((one) => {
    const takes = [...new Set(one.gaps.flatMap((gap) => whoTakesIt(gap, tasks)))]
    return [askedInWords(one), ...decidesInWords(one.decides), ...takes].join(' ')
  })
  const blocks: readonly Block[] = [...listOf(items), ...waitingAlone(plan, groups)]
  return blocks.length === 0 ? [] : [{ id: 'gaps', title: WORDS.sections.gaps, blocks }]
}

/** What waits for a fact that nobody is sent to find, with its question: it would be named nowhere else. */
function waitingAlone(plan: Plan, groups: readonly Asked[]): readonly Block[] {
  const placed = new Set(groups.flatMap((one) => one.decides.map(({ id }) => id)))
  const alone = plan.precautions
    .filter((one) => one.finding === 'unknown' && !placed.has(one.id))
    .sort(byStep)
    .map((one) => `${asSentence(one.ask ?? WORDS.askAbout(one.missingFacts.join(', ')))} ${undecidedWords(one)}`)
  return alone.length === 0 ? [] : [{ kind: 'line', text: WORDS.alsoUndecided, weight: 'strong' }, ...listOf(alone)]
}

/** The precautions that cannot be judged yet, under the facts that would decide them. */
export function waitingSection(plan: Plan): readonly Section[] {
  const blocks = asked(plan)
    .filter((one) => one.decides.length > 0)
    .flatMap((one): readonly Block[] => [
      { kind: 'line', text: factsOf(one), weight: 'strong' },
      ...listOf(one.decides.map(undecidedWords)),
    ])
  return blocks.length === 0 ? [] : [{ id: 'waiting', title: WORDS.sections.waiting, where: 'page', blocks }]
}
