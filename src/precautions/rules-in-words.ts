import { SURENESS, SURENESS_WORDS, type Sureness } from '../terms/source.js'
import { STEPS, type Step } from '../terms/steps.js'
import { triggerInWords } from './in-words.js'
import type { LayeredRule, LayeredTension, RuleSet } from './rules.js'

/** One precaution as a department reads it before it approves. */
export interface RuleInWords
  extends Pick<LayeredRule, 'id' | 'indicator' | 'place' | 'text' | 'why' | 'ask' | 'evidence' | 'layer'> {
  readonly theme: string
  readonly when: string
  /** Each with how sure we are of it. */
  readonly sources: readonly string[]
}

export interface TensionInWords extends Pick<LayeredTension, 'id' | 'question' | 'layer'> {
  readonly sides: readonly { readonly pull: string; readonly when: string; readonly sources: readonly string[] }[]
}

export interface StepInWords {
  readonly step: Step
  readonly rules: readonly RuleInWords[]
  readonly tensions: readonly TensionInWords[]
}

/** All rules by surgical step, in the order of the operation; steps without any are left out. */
export const rulesByStep = ({ precautions, tensions }: RuleSet): readonly StepInWords[] =>
  STEPS.map((step) => ({
    step,
    rules: precautions.filter((rule) => rule.step === step).map(ruleInWords),
    tensions: tensions.filter((tension) => tension.step === step).map(tensionInWords),
  })).filter((each) => each.rules.length + each.tensions.length > 0)

const ruleInWords = ({
  id,
  theme,
  indicator,
  place,
  text,
  why,
  ask,
  evidence,
  layer,
  when,
  sources,
}: LayeredRule): RuleInWords => ({
  id,
  theme,
  indicator,
  place,
  text,
  why,
  ...(ask === undefined ? {} : { ask }),
  evidence,
  layer,
  when: triggerInWords(when),
  sources: sources.map(sourceInWords),
})

const tensionInWords = ({ id, question, layer, sides }: LayeredTension): TensionInWords => ({
  id,
  question,
  layer,
  sides: sides.map(({ pull, when, sources }) => ({ pull, when: triggerInWords(when), sources: sources.map(sourceInWords) })),
})

interface Cited {
  readonly cite: string
  readonly year?: number | undefined
  readonly sureness: Sureness
  readonly supports: string
}

function sourceInWords({ cite, year, sureness, supports }: Cited): string {
  const dated = year === undefined || cite.includes(String(year)) ? cite : `${cite}, ${year}`
  const sure = sureness === 'convention' && cite === SURENESS_WORDS.convention ? '' : ` (${SURENESS_WORDS[sureness]})`
  return `${dated}${sure}: ${supports}`
}

/** How many sources the rules stand on, by how sure we are of them. */
export function sourcesBySureness({ precautions, tensions }: RuleSet): Readonly<Record<Sureness, number>> {
  const all = [
    ...precautions.flatMap(({ sources }) => sources),
    ...tensions.flatMap(({ sides }) => sides.flatMap(({ sources }) => sources)),
  ]
  const count = (sureness: Sureness) => all.filter((source) => source.sureness === sureness).length
  return Object.fromEntries(SURENESS.map((sureness) => [sureness, count(sureness)])) as Record<Sureness, number>
}
