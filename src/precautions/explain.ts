import { fault } from '../terms/fault.js'
import { decideAll } from './engine-run.js'
import type { FactRecord } from './facts.js'
import type { Decision, Reason } from './fold.js'
import { thresholdInWords, valueInWords } from './in-words.js'
import { conjunction, type Finding, findingOf } from './kleene.js'
import { FACT_NAMES, termOf } from './read-condition.js'
import { type LayeredTension, type RuleSet, sideId } from './rules.js'

export const FINDINGS = ['fires', 'unknown', 'quiet'] as const satisfies readonly Finding[]

const HEADINGS = { fires: 'Fires', unknown: 'Cannot be decided', quiet: 'Quiet' } as const

/**
 * Why each rule fired or not, as lines of plain text: the facts, then what fires, what cannot be decided, what is quiet.
 * @param ruleSet as built by `buildRuleSet`
 * @param facts every declared fact of one eye, null where not known
 * @param only the findings to tell; all three unless told
 */
export async function explainRules(
  ruleSet: RuleSet,
  facts: FactRecord,
  only: readonly Finding[] = FINDINGS,
): Promise<readonly string[]> {
  const decisions = await decideAll(ruleSet, facts, true)
  const lines: string[] = [`Rule set ${ruleSet.version}`, '', ...factLines(facts)]
  for (const finding of only) {
    const rules = ruleSet.precautions.filter(({ id }) => decisionOf(decisions, id).finding === finding)
    lines.push('', `${HEADINGS[finding]}: ${rules.length}`)
    for (const { id, step, indicator, layer, text } of rules) {
      lines.push('', `${id} (${step}, ${indicator}, ${layer})`, `  ${text}`, ...reasonLines(decisionOf(decisions, id)))
    }
    for (const tension of ruleSet.tensions) {
      if (findingOf(tensionTruth(tension, decisions)) === finding) lines.push('', ...tensionLines(tension, decisions))
    }
  }
  for (const { id, layer, because } of ruleSet.switchedOff) lines.push('', `${id}: switched off by ${layer}, because ${because}`)
  return lines
}

function factLines(facts: FactRecord): readonly string[] {
  const known = FACT_NAMES.filter((fact) => facts[fact] !== null)
  const missing = FACT_NAMES.filter((fact) => facts[fact] === null).map((fact) => termOf(fact).label)
  return [
    `Facts known: ${known.length} of ${FACT_NAMES.length}`,
    ...known.map((fact) => `  ${termOf(fact).label}: ${valueInWords(fact, facts[fact])}`),
    ...(missing.length === 0 ? [] : [`  not known: ${missing.join(', ')}`]),
  ]
}

function decisionOf(decisions: ReadonlyMap<string, Decision>, id: string): Decision {
  const decision = decisions.get(id)
  if (decision === undefined) throw fault('PRECAUTIONS.RULES_LOST', `there is no result for ${id}`)
  return decision
}

const tensionTruth = ({ id, sides }: LayeredTension, decisions: ReadonlyMap<string, Decision>) =>
  conjunction(sides.map((_, at) => decisionOf(decisions, sideId(id, at)).truth))

function tensionLines({ id, question, sides }: LayeredTension, decisions: ReadonlyMap<string, Decision>): readonly string[] {
  const lines = sides.flatMap(({ pull }, at) => {
    const decision = decisionOf(decisions, sideId(id, at))
    return [`  ${pull} ${decision.finding}`, ...reasonLines(decision).map((line) => `  ${line}`)]
  })
  return [`Tension ${id}: ${question}`, ...lines]
}

function reasonLines({ reasons, missingFacts }: Decision): readonly string[] {
  const lines = reasons.length === 0 ? ['  holds for every operation'] : reasons.map((reason) => `  ${inWords(reason)}`)
  const missing = missingFacts.map((fact) => termOf(fact).label)
  return missing.length === 0 ? lines : [...lines, `  to decide it: ${missing.join(', ')}`]
}

const TRUTHS = { true: 'yes', false: 'no', null: 'not known' } as const

/** "axial length 29.6 mm: at least 26 mm? yes". */
export function inWords({ fact, given, operator, threshold, truth }: Reason): string {
  const asked = thresholdInWords(fact, operator, threshold)
  return `${termOf(fact).label} ${valueInWords(fact, given)}: ${asked}? ${TRUTHS[`${truth}`]}`
}
