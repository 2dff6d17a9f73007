import { Engine, Fact, Rule, type RuleProperties, type RuleResult, type TopLevelCondition } from 'json-rules-engine'
import { fault } from '../terms/fault.js'
import type { Comparison, Trigger } from './condition.js'
import type { FactName, FactRecord, FactValue } from './facts.js'
import { type ConditionResult, type Decision, EVERY_OPERATION, fold } from './fold.js'
import { CARRIED_OPERATORS, carried, OPERATOR_NAMES } from './operators.js'
import { FACT_NAMES, termOf, valueFlaw } from './read-condition.js'
import { canonical, type Question, questionsOf, type RuleSet } from './rules.js'

export type EngineRule = RuleProperties & { readonly name: string }

/** One event for all rules: a name of its own would be emitted, and some names the engine keeps for itself. */
const EVENT = { type: 'decided' }

/** Several questions that the engine takes as one rule. */
interface Batch {
  readonly rule: EngineRule
  /** The questions in the order of the rule's conditions. */
  readonly ids: readonly string[]
}

/** What the engine is asked for a rule set. */
interface Asked {
  /** One question a different condition, parsed by the engine once a rule set. */
  readonly batches: readonly Batch[]
  /** For each question of the rule set, in their order, the one that answers it. */
  readonly answeredBy: readonly { readonly id: string; readonly question: string }[]
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
    return { id: question.id, question: same.id }
  })
  const fresh = { batches: inBatches([...first.values()]), answeredBy }
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

/** A rule's cost to the engine is mostly its own: eight questions together take two thirds of the time of eight rules. More gain nothing. */
const QUESTIONS_A_RULE = 8

function inBatches(questions: readonly Question[]): readonly Batch[] {
  const batches: Batch[] = []
  for (let from = 0; from < questions.length; from += QUESTIONS_A_RULE) {
    const together = questions.slice(from, from + QUESTIONS_A_RULE)
    batches.push({ rule: parsed(`questions from ${from}`, together), ids: together.map(({ id }) => id) })
  }
  return batches
}

/**
 * Parsed once a rule set: parsed rules hold no state of a run, since the engine copies their conditions for each; only the
 * engine itself may not be shared. Lists go in behind a function, which the engine passes on instead of copying them.
 * The rule's own verdict means nothing: the engine decides all its conditions, and each is read for itself.
 */
function parsed(name: string, questions: readonly Question[]): EngineRule {
  const leaf: AsLeaf = ({ fact, operator, value }) => ({ fact, operator, value: carried(value) })
  const all = questions.map(({ trigger }) => ('fact' in trigger ? leaf(trigger) : topLevel(trigger, leaf)))
  return Object.assign(new Rule({ name, conditions: { all }, event: EVENT }), { name })
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
  const { batches, answeredBy } = asked(ruleSet)
  const decisions = await run(batches, facts, withReasons)
  const answers = new Map<string, Decision>()
  for (const { id, question } of answeredBy) {
    const decision = decisions.get(question)
    if (decision === undefined) throw fault('PRECAUTIONS.RULES_LOST', `there is no result for ${id}`)
    answers.set(id, decision)
  }
  return answers
}

/**
 * Answers some questions in one run of the engine.
 * @param questions ids unique
 * @returns each question's decision by its id, complete or thrown
 */
export const decide = (questions: readonly Question[], facts: FactRecord): Promise<ReadonlyMap<string, Decision>> =>
  run(inBatches(questions), facts, false)

/** One run of one fresh engine: two runs that share an engine lose rules in silence. */
async function run(batches: readonly Batch[], facts: FactRecord, withReasons: boolean): Promise<ReadonlyMap<string, Decision>> {
  const engine = new Engine([], { allowUndefinedFacts: false })
  for (const name of OPERATOR_NAMES) engine.addOperator(name, CARRIED_OPERATORS[name])
  for (const { rule } of batches) engine.addRule(rule)
  const { results, failureResults } = await engine.run(checked(facts))
  const byName = new Map<string, RuleResult>()
  for (const result of results) byName.set(result.name, result)
  for (const result of failureResults) byName.set(result.name, result)
  if (results.length + failureResults.length !== batches.length) {
    throw fault('PRECAUTIONS.RULES_MISCOUNTED', `${batches.length} rules gave ${results.length + failureResults.length} results`)
  }
  const decisions = new Map<string, Decision>()
  let questions = 0
  for (const { rule, ids } of batches) {
    const conditions = conditionsOf(byName.get(rule.name))
    if (conditions?.length !== ids.length) {
      throw fault('PRECAUTIONS.RULES_LOST', `the engine gave no result for some of ${ids.join(', ')}`)
    }
    for (const [at, condition] of conditions.entries()) {
      const decision = fold(ids[at] ?? '', condition, withReasons)
      decisions.set(decision.id, decision)
    }
    questions += ids.length
  }
  if (decisions.size !== questions) {
    throw fault('PRECAUTIONS.RULES_MISCOUNTED', `${questions} questions have ${decisions.size} names`)
  }
  return decisions
}

const conditionsOf = (result: RuleResult | undefined): readonly ConditionResult[] | undefined =>
  result !== undefined && 'all' in result.conditions ? result.conditions.all : undefined

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
