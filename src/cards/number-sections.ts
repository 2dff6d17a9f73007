import type { Plan, Risk, SurgeryFigure } from '../plan/plan.js'
import type { Block, Section } from './card.js'
import { asSentence, capitalised, frequency, withThousands } from './figures.js'
import { FIRST_RISKS, riskWithOrigin } from './first-risks.js'
import { inBrackets, sourceInWords } from './sources.js'
import { WORDS } from './words-en.js'

const fact = (label: string, text: string): Block => ({ kind: 'fact', label, text })
const factIf = (label: string, texts: readonly string[]): readonly Block[] =>
  texts.length === 0 ? [] : [fact(label, texts.join(' · '))]

const unstated = (risk: Risk): readonly Block[] =>
  factIf(
    WORDS.unstated,
    risk.factorsUnstated.map((factor) => `${factor.factor} (${factor.wouldChange})`),
  )
const caveats = (risk: Risk): readonly Block[] => factIf(WORDS.caveats, risk.caveats.map(asSentence))

/**
 * Each risk in a line; under those that stand on the first screen, what would change them.
 * @param drawing the same as bars, where it can be shown
 */
export function riskSection(plan: Plan, drawing?: Block): readonly Section[] {
  if (plan.risks.length === 0) return []
  const line = (risk: Risk): string => `${riskWithOrigin(risk)} ${inBrackets([risk.source])}`
  const first = plan.risks.filter((risk) => FIRST_RISKS.includes(risk.id))
  const items = plan.risks.filter((risk) => !first.includes(risk)).map(line)
  return [
    {
      id: 'risks',
      title: WORDS.sections.risks,
      blocks: [
        ...(drawing === undefined ? [] : [drawing]),
        ...first.flatMap((risk): readonly Block[] => [
          { kind: 'line', text: line(risk), weight: 'plain' },
          ...unstated(risk),
          ...caveats(risk),
        ]),
        ...(items.length === 0 ? [] : [{ kind: 'list', items } as const]),
      ],
    },
  ]
}

function modelBlocks(risk: Risk): readonly Block[] {
  const onFirst = FIRST_RISKS.includes(risk.id)
  return [
    { kind: 'line', text: `${risk.about}: ${risk.model}`, weight: 'strong' },
    fact(WORDS.population, `${asSentence(risk.population)} ${WORDS.years}: ${asSentence(risk.years)}`),
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
    ...(onFirst ? [] : [...unstated(risk), ...caveats(risk)]),
    { kind: 'line', text: `${WORDS.source}: ${sourceInWords(risk.source)}`, weight: 'quiet' },
  ]
}

/** What each risk model took in and left out. */
export const riskModelSection = (plan: Plan): readonly Section[] =>
  plan.risks.length === 0
    ? []
    : [{ id: 'risk-models', title: WORDS.sections.riskModels, where: 'page', blocks: plan.risks.flatMap(modelBlocks) }]

/** Values that the sentence does not give itself, to four digits. */
function furtherValues(figure: SurgeryFigure): readonly string[] {
  return figure.values.flatMap((one) => {
    const shown = withThousands(Number(one.value.toPrecision(4)))
    const whole = withThousands(Number(one.value.toPrecision(2)))
    const said = [shown, whole, one.value.toFixed(0)].some((number) => figure.words.includes(number))
    return said ? [] : [`${one.name} ${shown} ${one.unit}`]
  })
}

function surgeryFact(figure: SurgeryFigure): Block {
  const values = furtherValues(figure)
  return fact(
    capitalised(WORDS.steps[figure.step]),
    [
      asSentence(figure.words),
      ...(values.length === 0 ? [] : [asSentence(capitalised(values.join(', ')))]),
      ...(figure.outOfRange === undefined ? [] : [asSentence(`${WORDS.notHolding}: ${figure.outOfRange}`)]),
      inBrackets([figure.source]),
    ].join(' '),
  )
}

export const surgerySection = (plan: Plan): readonly Section[] =>
  plan.surgery.length === 0 ? [] : [{ id: 'surgery', title: WORDS.sections.surgery, blocks: plan.surgery.map(surgeryFact) }]
