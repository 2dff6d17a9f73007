import type { Plan, Risk, SurgeryFigure } from '../plan/plan.js'
import type { Block, Section } from './card.js'
import { asSentence, capitalised, frequency, withThousands } from './figures.js'
import { sourceInWords } from './precaution-sections.js'
import { WORDS } from './words-en.js'

const fact = (label: string, text: string): Block => ({ kind: 'fact', label, text })
const factIf = (label: string, texts: readonly string[]): readonly Block[] =>
  texts.length === 0 ? [] : [fact(label, texts.join(' · '))]

function riskBlocks(risk: Risk): readonly Block[] {
  return [
    { kind: 'line', text: risk.words, weight: 'strong' },
    fact(
      WORDS.model,
      `${risk.model}. ${WORDS.population}: ${asSentence(risk.population)} ${WORDS.years}: ${asSentence(risk.years)}`,
    ),
    ...factIf(
      WORDS.recalibrated,
      risk.recalibrated.map((other) => `${frequency(other.value)} (${other.baseRate})`),
    ),
    ...factIf(
      WORDS.otherSurgeons,
      risk.otherSurgeons.map((other) => `${other.surgeon} ${frequency(other.value)}`),
    ),
    ...factIf(
      WORDS.used,
      risk.factorsUsed.map((used) => `${used.factor}: ${used.level} (${used.effect})`),
    ),
    ...factIf(
      WORDS.unstated,
      risk.factorsUnstated.map((factor) => `${factor.factor} (${factor.wouldChange})`),
    ),
    ...factIf(WORDS.caveats, risk.caveats.map(asSentence)),
    { kind: 'line', text: `${WORDS.source}: ${sourceInWords(risk.source)}`, weight: 'quiet' },
  ]
}

export const riskSection = (plan: Plan): readonly Section[] =>
  plan.risks.length === 0 ? [] : [{ id: 'risks', title: WORDS.sections.risks, blocks: plan.risks.flatMap(riskBlocks) }]

function surgeryBlocks(figure: SurgeryFigure): readonly Block[] {
  const values = figure.values.map((one) => `${one.name} ${withThousands(one.value)} ${one.unit}`)
  return [
    { kind: 'line', text: `${capitalised(WORDS.steps[figure.step])}: ${figure.words}`, weight: 'strong' },
    ...(figure.outOfRange === undefined ? [] : [fact(WORDS.notHolding, figure.outOfRange)]),
    ...(values.length === 0 ? [] : [{ kind: 'list', items: values } as const]),
    { kind: 'line', text: `${WORDS.source}: ${sourceInWords(figure.source)}`, weight: 'quiet' },
  ]
}

export const surgerySection = (plan: Plan): readonly Section[] =>
  plan.surgery.length === 0 ? [] : [{ id: 'surgery', title: WORDS.sections.surgery, blocks: plan.surgery.flatMap(surgeryBlocks) }]
