import { Engine, Fact, Rule, type RuleProperties, type TopLevelCondition } from 'json-rules-engine'
import { fault } from '../terms/fault.js'
import type { Comparison, Trigger } from './condition.js'
import type { FactName, FactRecord, FactValue } from './facts.js'
import { type Decision, EVERY_OPERATION, fold } from './fold.js'
import { CARRIED_OPERATORS, carried, OPERATOR_NAMES } from './operators.js'
import { FACT_NAMES, termOf, valueFlaw } from './read-condition.js'
import { canonical, type Question, questionsOf, type RuleSet } from './rules.js'

export type EngineRule = RuleProperties & { readonly name: string }

/** One event for all rules: a name of its own would be emitted, and some names the engine keeps for itself. */
const EVENT = { type: 'decided' }

/** What the engine is asked for a rule set. */
interface Asked {
  /** One a different condition, parsed by the engine once a rule set. */
  readonly rules: readonly EngineRule[]
  /** For each question of the rule set, in their order, the rule that answers it. */
  readonly answeredBy: readonly { readonly id: string; readonly rule: string }[]
}

const askedOf = new WeakMap<RuleSet, Asked>()

/** Many precautions share a condition, the whole checklist one: each different condition is put to the engine once. */
function asked(ruleSet: RuleSet): Asked {
  const known = askedOf.get(ruleSet)
  if (known !== undefined) return known
  const first = new Map<string, Question>()
  const answeredBy = questionsOf(ruleSet).map((question) => {
    const condition = canonical(question.trigger)
    const same = first.get(condition) ?? question
    first.set(condition, same)
    return { id: question.id, rule: same.id }
  })
  const fresh = { rules: [...first.values()].map(parsed), answeredBy }
  askedOf.set(ruleSet, fresh)
  return fresh
}

export const engineRule = ({ id, trigger }: Question): EngineRule => ({
  name: id,
  conditions: topLevel(trigger, comparison),
  event: EVENT,
})

type AsLeaf = (comparison: Comparison) => { readonly fact: string; readonly operator: string; readonly value: unknown }

function topLevel(trigger: Trigger, leaf: AsLeaf): TopLevelCondition {
  const nested = (part: Exclude<Trigger, { always: true }>) => ('fact' in part ? leaf(part) : topLevel(part, leaf))
  if ('always' in trigger) return { all: [{ fact: EVERY_OPERATION, operator: 'is', value: true }] }
  if ('all' in trigger) return { all: trigger.all.map(nested) }
  if ('any' in trigger) return { any: trigger.any.map(nested) }
  if ('not' in trigger) return { not: nested(trigger.not) }
  return { all: [leaf(trigger)] }
}

const comparison: AsLeaf = ({ fact, operator, value }) => ({ fact, operator, value })

/**
 * Parsed once a rule set: parsed rules hold no state of a run, since the engine copies their conditions for each; only the
 * engine itself may not be shared. Lists go in behind a function, which the engine passes on instead of copying them.
 */
const parsed = ({ id, trigger }: Question): EngineRule => {
  const conditions = topLevel(trigger, ({ fact, operator, value }) => ({ fact, operator, value: carried(value) }))
  return Object.assign(new Rule({ name: id, conditions, event: EVENT }), { name: id })
}

/**
 * Answers every question of a rule set in one run of the engine.
 * @param facts every declared fact, null where not known
 * @param withReasons whether every comparison is written down for an explanation
 * @returns each question's decision by its id: a precaution's, or a tension's with `/0` or `/1` for its side
 */
export async function decideAll(
  ruleSet: RuleSet,
  facts: FactRecord,
  withReasons = false,
): Promise<ReadonlyMap<string, Decision>> {
  const { rules, answeredBy } = asked(ruleSet)
  const decisions = await decide(rules, facts, withReasons)
  const answers = new Map<string, Decision>()
  for (const { id, rule } of answeredBy) {
    const decision = decisions.get(rule)
    if (decision === undefined) throw fault('PRECAUTIONS.RULES_LOST', `there is no result for ${id}`)
    answers.set(id, decision)
  }
  return answers
}

/**
 * Decides every rule in one run of one fresh engine: two runs that share an engine lose rules in silence.
 * @param rules in the engine's form, ids unique
 * @returns each rule's folded result by its id, complete or thrown
 */
export async function decide(
  rules: readonly EngineRule[],
  facts: FactRecord,
  withReasons = false,
): Promise<ReadonlyMap<string, Decision>> {
  const engine = new Engine([], { allowUndefinedFacts: false })
  for (const name of OPERATOR_NAMES) engine.addOperator(name, CARRIED_OPERATORS[name])
  for (const rule of rules) engine.addRule(rule)
  const { results, failureResults } = await engine.run(checked(facts))
  const folded = new Map<string, Decision>()
  for (const result of results) folded.set(result.name, fold(result, withReasons))
  for (const result of failureResults) folded.set(result.name, fold(result, withReasons))
  assertComplete(rules, results.length + failureResults.length, folded)
  return folded
}

function assertComplete(rules: readonly EngineRule[], results: number, folded: ReadonlyMap<string, Decision>): void {
  const lost = rules.filter(({ name }) => !folded.has(name)).map(({ name }) => name)
  if (lost.length > 0) throw fault('PRECAUTIONS.RULES_LOST', `the engine gave no result for ${lost.join(', ')}`)
  if (results !== rules.length || folded.size !== rules.length) {
    throw fault('PRECAUTIONS.RULES_MISCOUNTED', `${rules.length} rules gave ${results} results`)
  }
}

/**
 * The record as the engine gets it: every declared fact and nothing else, each of its declared kind or null. The engine's
 * cache is off, since it would hash each name and never read a constant back.
 */
function checked(facts: FactRecord): Record<string, Fact<FactValue>> {
  const record: Record<string, Fact<FactValue>> = { [EVERY_OPERATION]: new Fact<FactValue>(EVERY_OPERATION, true, UNCACHED) }
  for (const fact of FACT_NAMES) {
    const value: FactValue | undefined = facts[fact]
    if (value === undefined) throw fault('PRECAUTIONS.FACT_ABSENT', `"${fact}" is not in the record; a fact not known is null`)
    if (value !== null && !fitsKind(fact, value)) {
      throw fault('PRECAUTIONS.FACT_OF_WRONG_KIND', `"${fact}" has a value of the wrong kind (${typeof value})`)
    }
    record[fact] = new Fact<FactValue>(fact, value, UNCACHED)
  }
  return record
}

const UNCACHED = { cache: false }

/** A number outside its plausible range still has an order, so it may be compared; what is no number may not. */
const fitsKind = (fact: FactName, value: NonNullable<FactValue>): boolean =>
  termOf(fact).kind === 'number' ? Number.isFinite(value) : valueFlaw(fact, value) === undefined
