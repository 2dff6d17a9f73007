import type { RuleResult, TopLevelConditionResult } from 'json-rules-engine'
import type { OperatorName, Threshold } from './condition.js'
import type { FactName, FactValue } from './facts.js'
import { fault } from './fault.js'
import { type Finding, findingOf, type Truth } from './kleene.js'
import { isOperatorName } from './operators.js'
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
  readonly reasons: readonly Reason[]
}

type Node = TopLevelConditionResult | Leaf
type Leaf = Extract<TopLevelConditionResult, { all: unknown }>['all'][number]

/** A constant that is true in every run, so that even a rule that always holds is decided, and counted, by the engine. */
export const EVERY_OPERATION = 'everyOperation'

/**
 * Folds the result tree of one rule in three-valued logic. The engine's own verdict is not used, because it takes a missing
 * fact for a failed comparison. Where no fact was missing the two must agree; a disagreement is thrown.
 */
export function fold(result: RuleResult): Decision {
  const reasons: Reason[] = []
  const missing: FactName[] = []
  const truth = foldNode(result.conditions, reasons, missing, result.name)
  if (truth !== null && truth !== result.result && reasons.every(({ given }) => given !== null)) {
    throw fault('PRECAUTIONS.FOLD_DISAGREES', `"${result.name}" is ${truth} by the fold and ${result.result} by the engine`)
  }
  const missingFacts = missing.length === 0 ? missing : [...new Set(missing)].sort()
  return { id: result.name, truth, finding: findingOf(truth), missingFacts, reasons }
}

/** Facts found open below a branch that turns out decided are taken back: they would decide nothing. */
function foldNode(node: Node, reasons: Reason[], missing: FactName[], name: string): Truth {
  const before = missing.length
  let truth: Truth
  if ('all' in node && Array.isArray(node.all)) {
    truth = true
    for (const part of node.all as readonly Leaf[]) {
      const each = foldNode(part, reasons, missing, name)
      if (each === false) truth = false
      else if (each === null && truth === true) truth = null
    }
  } else if ('any' in node && Array.isArray(node.any)) {
    truth = false
    for (const part of node.any as readonly Leaf[]) {
      const each = foldNode(part, reasons, missing, name)
      if (each === true) truth = true
      else if (each === null && truth === false) truth = null
    }
  } else if ('not' in node && node.not !== undefined) {
    const inner = foldNode(node.not as Leaf, reasons, missing, name)
    truth = inner === null ? null : !inner
  } else {
    return foldLeaf(node, reasons, missing, name)
  }
  if (truth !== null) missing.length = before
  return truth
}

function foldLeaf(node: Node, reasons: Reason[], missing: FactName[], name: string): Truth {
  if (!('fact' in node) || !('factResult' in node) || typeof node.result !== 'boolean') {
    throw fault('PRECAUTIONS.COMPARISON_SKIPPED', `the engine left a comparison of "${name}" without a result`)
  }
  if (node.fact === EVERY_OPERATION) return node.result
  const { operator } = node
  if (!isOperatorName(operator) || !isFactName(node.fact)) {
    throw fault('PRECAUTIONS.STRANGE_COMPARISON', `"${name}" compares "${node.fact}" by "${node.operator}"`)
  }
  const given = node.factResult as FactValue
  const open = given === null && operator !== 'isKnown'
  if (open) missing.push(node.fact)
  const truth = open ? null : node.result
  reasons.push({ fact: node.fact, given, operator, threshold: node.value as Threshold, truth })
  return truth
}
