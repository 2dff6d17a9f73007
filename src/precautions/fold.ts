import type { TopLevelConditionResult } from 'json-rules-engine'
import { fault } from '../terms/fault.js'
import type { OperatorName, Threshold } from './condition.js'
import type { FactName, FactValue } from './facts.js'
import { type Finding, findingOf, type Truth } from './kleene.js'
import { type Carried, isOperatorName, uncarried } from './operators.js'
import { isFactName } from './read-condition.js'

/** One comparison as the engine made it, for the reader who asks why. */
export interface Reason {
  readonly fact: FactName
  readonly given: FactValue
  readonly operator: OperatorName
  readonly threshold: Threshold
  readonly truth: Truth
}

/** How one question to the engine came out. */
export interface Decision {
  /** A precaution's id, or a tension's id with `/0` or `/1` for its side. */
  readonly id: string
  readonly truth: Truth
  readonly finding: Finding
  /** The unknown facts on the branches that are still open; empty when the truth is decided. Sorted, each once. */
  readonly missingFacts: FactName[]
  /** Empty unless an explanation was asked for. */
  readonly reasons: readonly Reason[]
}

/** A condition with what the engine made of it. */
export type ConditionResult = Extract<TopLevelConditionResult, { all: unknown }>['all'][number]

/** A constant that is true in every run, so that even a rule that always holds is decided, and counted, by the engine. */
export const EVERY_OPERATION = 'everyOperation'

/** What is gathered on the way through one result tree. */
interface Walk {
  readonly name: string
  readonly missing: FactName[]
  /** Gathered only where somebody will read them. */
  readonly reasons: Reason[] | undefined
  anyMissing: boolean
}

/**
 * Folds the result tree of one question in three-valued logic. The engine's own verdict is not used, because it takes a missing
 * fact for a failed comparison. Where no fact was missing the two must agree; a disagreement is thrown.
 * @param id the question's
 * @param withReasons whether every comparison is written down for an explanation
 */
export function fold(id: string, condition: ConditionResult, withReasons = false): Decision {
  const walk: Walk = { name: id, missing: [], reasons: withReasons ? [] : undefined, anyMissing: false }
  const truth = foldNode(condition, walk)
  if (!walk.anyMissing && truth !== verdictOf(condition)) {
    throw fault('PRECAUTIONS.FOLD_DISAGREES', `"${id}" is ${truth} by the fold and ${verdictOf(condition)} by the engine`)
  }
  const { missing } = walk
  const missingFacts = missing.length === 0 ? missing : [...new Set(missing)].sort()
  return { id, truth, finding: findingOf(truth), missingFacts, reasons: walk.reasons ?? NONE }
}

/** The engine writes its verdict on every condition, the library's types on comparisons only. */
const verdictOf = (condition: ConditionResult): unknown => ('result' in condition ? condition.result : undefined)

const NONE: readonly Reason[] = []

/** Facts found open below a branch that turns out decided are taken back: they would decide nothing. */
function foldNode(node: ConditionResult, walk: Walk): Truth {
  if ('fact' in node) return foldLeaf(node, walk)
  const before = walk.missing.length
  let truth: Truth
  if ('all' in node && Array.isArray(node.all)) {
    truth = true
    for (const part of node.all as readonly ConditionResult[]) {
      const each = foldNode(part, walk)
      if (each === false) truth = false
      else if (each === null && truth === true) truth = null
    }
  } else if ('any' in node && Array.isArray(node.any)) {
    truth = false
    for (const part of node.any as readonly ConditionResult[]) {
      const each = foldNode(part, walk)
      if (each === true) truth = true
      else if (each === null && truth === false) truth = null
    }
  } else if ('not' in node && node.not !== undefined) {
    const inner = foldNode(node.not as ConditionResult, walk)
    truth = inner === null ? null : !inner
  } else {
    throw fault('PRECAUTIONS.STRANGE_CONDITION', `"${walk.name}" holds a condition that no rule file may use`)
  }
  if (truth !== null) walk.missing.length = before
  return truth
}

function foldLeaf(node: Extract<ConditionResult, { fact: string }>, walk: Walk): Truth {
  if (!('factResult' in node) || typeof node.result !== 'boolean') {
    throw fault('PRECAUTIONS.COMPARISON_SKIPPED', `the engine left a comparison of "${walk.name}" without a result`)
  }
  const { fact, operator } = node
  if (fact === EVERY_OPERATION) return node.result
  if (!isOperatorName(operator) || !isFactName(fact)) {
    throw fault('PRECAUTIONS.STRANGE_COMPARISON', `"${walk.name}" compares "${fact}" by "${operator}"`)
  }
  const given = node.factResult as FactValue
  const open = given === null && operator !== 'isKnown'
  if (open) {
    walk.missing.push(fact)
    walk.anyMissing = true
  }
  const truth = open ? null : node.result
  walk.reasons?.push({ fact, given, operator, threshold: uncarried(node.value as Carried), truth })
  return truth
}
