import { signed } from '../terms/power.js'
import { decideAll } from './engine-run.js'
import type { FactName, FactRecord, FactValue } from './facts.js'
import type { Decision, Reason } from './fold.js'
import { termOf } from './read-condition.js'
import { type RuleSet, sideId } from './rules.js'

/**
 * Why each rule fired or not, as lines of plain text: first what fires, then what cannot be decided, then what is quiet.
 * @param ruleSet as built by `buildRuleSet`
 * @param facts every declared fact of one eye, null where not known
 */
export async function explainRules(ruleSet: RuleSet, facts: FactRecord): Promise<readonly string[]> {
  const decisions = await decideAll(ruleSet, facts, true)
  const lines: string[] = [`Rule set ${ruleSet.version}`]
  for (const finding of ['fires', 'unknown', 'quiet'] as const) {
    const here = ruleSet.precautions.filter(({ id }) => decisions.get(id)?.finding === finding)
    lines.push('', `${HEADINGS[finding]}: ${here.length}`)
    for (const { id, step, indicator, layer } of here) {
      lines.push('', `${id} (${step}, ${indicator}, ${layer})`, ...reasonLines(decisions.get(id)))
    }
  }
  for (const { id, sides } of ruleSet.tensions) {
    lines.push('', `Tension ${id}`)
    for (const [at, side] of sides.entries()) {
      const decision = decisions.get(sideId(id, at))
      lines.push(`  ${side.pull}: ${decision?.finding ?? 'unknown'}`, ...reasonLines(decision).map((line) => `  ${line}`))
    }
  }
  for (const { id, layer, because } of ruleSet.switchedOff) lines.push('', `${id}: switched off by ${layer}, because ${because}`)
  return lines
}

const HEADINGS = { fires: 'Fires', unknown: 'Cannot be decided', quiet: 'Quiet' } as const

function reasonLines(decision: Decision | undefined): readonly string[] {
  if (decision === undefined) return []
  const missing = decision.missingFacts.map((fact) => termOf(fact).label)
  const reasons =
    decision.reasons.length === 0 ? ['  holds for every operation'] : decision.reasons.map((reason) => `  ${inWords(reason)}`)
  return missing.length === 0 ? reasons : [...reasons, `  to decide it: ${missing.join(', ')}`]
}

const TRUTHS = { true: 'yes', false: 'no', null: 'not known' } as const

/** "axial length 29.6 mm: at least 26 mm? yes". */
export function inWords({ fact, given, operator, threshold, truth }: Reason): string {
  const { label } = termOf(fact)
  const value = given === null ? 'not known' : measured(fact, given)
  return `${label} ${value}: ${asked(fact, operator, threshold)}? ${TRUTHS[`${truth}`]}`
}

function asked(fact: FactName, operator: Reason['operator'], threshold: Reason['threshold']): string {
  const each = (value: unknown) => measured(fact, value as FactValue)
  if (Array.isArray(threshold)) {
    const values = threshold.map(each)
    return operator === 'between' ? `from ${values[0]} to below ${values[1]}` : values.join(' or ')
  }
  if (operator === 'isKnown') return threshold === true ? 'known' : 'not known'
  const words = {
    atLeast: 'at least',
    above: 'above',
    atMost: 'at most',
    below: 'below',
    between: 'between',
    is: 'is',
    isOneOf: 'one of',
  }
  return `${words[operator]} ${each(threshold)}`
}

function measured(fact: FactName, value: FactValue): string {
  const term = termOf(fact)
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  if (term.kind !== 'number' || typeof value !== 'number') return String(value)
  return term.low < 0 ? `${signed(value, 2)} ${term.unit}` : `${value} ${term.unit}`
}
