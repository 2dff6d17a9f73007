import { type Comparison, type Condition, OPERATORS_OF, type OperatorName, type Threshold, type Trigger } from './condition.js'
import { FACTS, type FactName, type FactTerm } from './facts.js'
import type { JsonPath } from './json-lines.js'
import { nearestWord } from './nearest-word.js'

/** Something wrong inside a rule file: where, what, and what to write instead. */
export interface Flaw {
  readonly path: JsonPath
  readonly message: string
  readonly instead: string
}

export const FACT_NAMES = Object.keys(FACTS) as readonly FactName[]
export const isFactName = (name: string): name is FactName => Object.hasOwn(FACTS, name)
export const termOf = (fact: FactName): FactTerm => FACTS[fact]

const SHAPE = 'write { "fact", "operator", "value" }, or { "all": [ … ] }, { "any": [ … ] }, { "not": { … } }'

type Report = (flaw: Flaw) => void
type Fields = Readonly<Record<string, unknown>>

const isFields = (value: unknown): value is Fields => typeof value === 'object' && value !== null && !Array.isArray(value)

/** Reads what stands under `when`. Everything wrong is reported; undefined when anything was. */
export function readTrigger(value: unknown, path: JsonPath, report: Report): Trigger | undefined {
  if (!isFields(value) || !('always' in value)) return readCondition(value, path, report)
  if (value['always'] === true && Object.keys(value).length === 1) return { always: true }
  report({ path, message: '"always" stands alone and is true', instead: 'write { "always": true }' })
  return undefined
}

function readCondition(value: unknown, path: JsonPath, report: Report): Condition | undefined {
  if (!isFields(value)) {
    report({ path, message: 'this is not a condition', instead: SHAPE })
    return undefined
  }
  const keys = Object.keys(value)
  if ('fact' in value) return readComparison(value, path, report)
  if (keys.length !== 1) {
    report({ path, message: `a condition is one of "all", "any", "not" alone; here: ${quoted(keys)}`, instead: SHAPE })
    return undefined
  }
  if ('not' in value) {
    const inner = readCondition(value['not'], [...path, 'not'], report)
    return inner && { not: inner }
  }
  if ('all' in value) {
    const all = readList(value['all'], [...path, 'all'], report)
    return all && { all }
  }
  if ('any' in value) {
    const any = readList(value['any'], [...path, 'any'], report)
    return any && { any }
  }
  report({ path, message: `${quoted(keys)} is not a kind of condition`, instead: SHAPE })
  return undefined
}

function readList(value: unknown, path: JsonPath, report: Report): readonly Condition[] | undefined {
  if (!Array.isArray(value) || value.length === 0) {
    report({
      path,
      message: 'a list of at least one condition is expected',
      instead: 'write the conditions in [ … ]; never leave it empty',
    })
    return undefined
  }
  const read = value.map((part: unknown, index) => readCondition(part, [...path, index], report))
  return read.every((part) => part !== undefined) ? read : undefined
}

function readComparison(fields: Fields, path: JsonPath, report: Report): Comparison | undefined {
  const strange = Object.keys(fields).filter((key) => !['fact', 'operator', 'value'].includes(key))
  for (const key of strange) {
    report({
      path: [...path, key],
      message: `"${key}" has no place in a condition`,
      instead: 'keep only "fact", "operator" and "value"',
    })
  }
  const { fact, operator, value } = fields
  if (typeof fact !== 'string' || !isFactName(fact)) {
    report({
      path: [...path, 'fact'],
      message: `${shown(fact)} is not a fact that rules may speak of`,
      instead: didYouMean(fact, FACT_NAMES),
    })
    return undefined
  }
  const allowed = OPERATORS_OF[termOf(fact).kind]
  const known = allowed.find((name) => name === operator)
  if (known === undefined) {
    const message = `${shown(operator)} cannot be asked of ${fact} (${termOf(fact).label})`
    report({ path: [...path, 'operator'], message, instead: `use one of ${quoted(allowed)}` })
    return undefined
  }
  const wrong = thresholdFlaw(fact, known, value)
  if (wrong !== undefined) report({ path: [...path, 'value'], ...wrong })
  if (wrong !== undefined || strange.length > 0) return undefined
  return { fact, operator: known, value: value as Threshold } as Comparison
}

type Wrong = Omit<Flaw, 'path'>

function thresholdFlaw(fact: FactName, operator: OperatorName, value: unknown): Wrong | undefined {
  if (operator === 'isKnown') return typeof value === 'boolean' ? undefined : yesOrNo(fact, value)
  if (operator === 'isOneOf') {
    if (!Array.isArray(value) || value.length < 2 || new Set(value).size !== value.length) {
      return {
        message: `"isOneOf" needs a list of two or more different values`,
        instead: `for one value use "is"; ${choicesOf(fact)}`,
      }
    }
    return firstWrong(fact, value)
  }
  if (operator === 'between') {
    if (!Array.isArray(value) || value.length !== 2) {
      return { message: '"between" needs two numbers', instead: 'write [low, high]; low is included, high is not' }
    }
    const wrong = firstWrong(fact, value)
    if (wrong !== undefined || Number(value[0]) < Number(value[1])) return wrong
    return { message: `${shown(value[0])} is not below ${shown(value[1])}`, instead: 'write the lower number first' }
  }
  return valueFlaw(fact, value)
}

function firstWrong(fact: FactName, values: readonly unknown[]): Wrong | undefined {
  for (const value of values) {
    const wrong = valueFlaw(fact, value)
    if (wrong !== undefined) return wrong
  }
  return undefined
}

/** What is wrong with a value of a fact, if anything: its kind, its range, or a choice that does not exist. */
export function valueFlaw(fact: FactName, value: unknown): Wrong | undefined {
  const term = termOf(fact)
  if (term.kind === 'yes-no') return typeof value === 'boolean' ? undefined : yesOrNo(fact, value)
  if (term.kind === 'choice') {
    if (typeof value === 'string' && term.values.includes(value)) return undefined
    return { message: `${shown(value)} is not a value of ${fact} (${term.label})`, instead: choicesOf(fact) }
  }
  if (typeof value === 'number' && value >= term.low && value <= term.high) return undefined
  return {
    message: `${shown(value)} is not a value of ${fact} (${term.label})`,
    instead: `write a number from ${term.low} to ${term.high}, in ${term.unit}`,
  }
}

const yesOrNo = (fact: FactName, value: unknown): Wrong => ({
  message: `${shown(value)} does not answer ${fact} (${termOf(fact).label})`,
  instead: 'write true or false, without quotes',
})

function choicesOf(fact: FactName): string {
  const term = termOf(fact)
  return term.kind === 'choice' ? `use ${quoted(term.values)}` : ''
}

/** "Did you mean …", or where to look. */
export function didYouMean(word: unknown, words: readonly string[]): string {
  const near = typeof word === 'string' ? nearestWord(word, words) : undefined
  return near === undefined ? `use one of ${quoted(words)}` : `did you mean "${near}"?`
}

export const quoted = (words: readonly string[]): string => words.map((word) => `"${word}"`).join(', ')

export function shown(value: unknown): string {
  if (value === undefined) return 'nothing'
  const text = JSON.stringify(value)
  return text.length > 60 ? `${text.slice(0, 57)}…` : text
}
