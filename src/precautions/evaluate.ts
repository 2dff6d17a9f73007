import { fault } from '../terms/fault.js'
import type { Sureness } from '../terms/source.js'
import type { Indicator, Step } from '../terms/steps.js'
import { decideAll } from './engine-run.js'
import type { FactName, FactRecord } from './facts.js'
import type { Decision } from './fold.js'
import { conjunction, type Finding } from './kleene.js'
import { type LayeredRule, type LayeredTension, type RuleSet, sideId } from './rules.js'

export interface RuleSource {
  cite: string
  year?: number
  sureness: Sureness
  supports: string
}

/** What one precaution says of this eye, with all that a reader needs to judge it. */
export interface PrecautionFinding {
  id: string
  theme: string
  indicator: Indicator
  step: Step
  finding: Finding
  place: 'eye' | 'checklist'
  text: string
  why: string
  ask?: string
  missingFacts: string[]
  harm: number
  changeableBefore: boolean
  advice?: string
  layer: string
  sources: RuleSource[]
}

/** Two precautions that pull in opposite directions in this eye. */
export interface TensionFinding {
  id: string
  step: Step
  question: string
  sides: { pull: string; sources: Omit<RuleSource, 'supports'>[] }[]
}

export interface Findings {
  /** Content hash of the rule set. */
  readonly version: string
  /** Every precaution, by id: fires, quiet and unknown. */
  readonly precautions: PrecautionFinding[]
  /** The tensions of which both sides fire, by id. */
  readonly tensions: TensionFinding[]
  /** The tensions that a missing fact leaves open. */
  readonly openTensions: readonly { readonly id: string; readonly missingFacts: readonly FactName[] }[]
}

/**
 * What the rules say of one eye. Every precaution comes back as fires, quiet or unknown; none is ever lost or passed for quiet
 * because a fact is missing.
 * @param ruleSet as built by `buildRuleSet`
 * @param facts every declared fact, null where not known
 * @throws a coded fault when the engine lost a rule or a fact has the wrong kind
 */
export async function evaluateRules(ruleSet: RuleSet, facts: FactRecord): Promise<Findings> {
  const { precautions, tensions, sides } = wordingOf(ruleSet)
  const decisions = await decideAll(ruleSet, facts)
  const settled = tensions.map((tension, at) => ({ tension, ...tensionTruth(sides[at] ?? [], decisions) }))
  return {
    version: ruleSet.version,
    precautions: precautions.map((quiet) => precautionFinding(quiet, decisionOf(decisions, quiet.id))),
    tensions: settled.filter(({ truth }) => truth === true).map(({ tension }) => tension),
    openTensions: settled
      .filter(({ truth }) => truth === null)
      .map(({ tension, missingFacts }) => ({ id: tension.id, missingFacts })),
  }
}

/** What the findings of a rule set have in common over all eyes: made once a set, shared by all its findings, never changed. */
interface Wording {
  /** Each precaution as if it were quiet. */
  readonly precautions: readonly PrecautionFinding[]
  readonly tensions: readonly TensionFinding[]
  /** The ids of each tension's sides. */
  readonly sides: readonly (readonly string[])[]
}

const wordings = new WeakMap<RuleSet, Wording>()

function wordingOf(ruleSet: RuleSet): Wording {
  const known = wordings.get(ruleSet)
  if (known !== undefined) return known
  const wording: Wording = {
    precautions: ruleSet.precautions.map(quietFinding),
    tensions: deepFrozen(ruleSet.tensions.map(tensionFinding)),
    sides: ruleSet.tensions.map(({ id, sides }) => sides.map((_, side) => sideId(id, side))),
  }
  wordings.set(ruleSet, wording)
  return wording
}

/** One plan that changes what it was given would change every later plan; so it throws instead. */
function deepFrozen<Value>(value: Value): Value {
  if (typeof value === 'object' && value !== null) Object.values(Object.freeze(value)).forEach(deepFrozen)
  return value
}

function decisionOf(decisions: ReadonlyMap<string, Decision>, id: string): Decision {
  const result = decisions.get(id)
  if (result === undefined) throw fault('PRECAUTIONS.RULES_LOST', `there is no result for ${id}`)
  return result
}

/** What is the same of a precaution in every eye, each field in the place where a plan has it. */
const quietFinding = (rule: LayeredRule): PrecautionFinding => ({
  id: rule.id,
  theme: rule.theme,
  indicator: rule.indicator,
  step: rule.step,
  finding: 'quiet',
  place: rule.place,
  text: rule.text,
  why: rule.why,
  missingFacts: [],
  harm: rule.harm,
  changeableBefore: rule.changeableBefore,
  layer: rule.layer,
  sources: deepFrozen(rule.sources.map((source) => ({ ...citation(source), supports: source.supports }))),
  ...(rule.ask === undefined ? {} : { ask: rule.ask }),
  ...(rule.advice === undefined ? {} : { advice: rule.advice }),
})

/** A bare copy, then what this eye changes: some hundred records a plan are a tenth of the run if they are written out anew. */
function precautionFinding(quiet: PrecautionFinding, { finding, missingFacts }: Decision): PrecautionFinding {
  const found = { ...quiet }
  found.finding = finding
  found.missingFacts = missingFacts
  return found
}

const tensionFinding = ({ id, step, question, sides }: LayeredTension): TensionFinding => ({
  id,
  step,
  question,
  sides: sides.map(({ pull, sources }) => ({ pull, sources: sources.map(citation) })),
})

interface Cited {
  readonly cite: string
  readonly year?: number | undefined
  readonly sureness: Sureness
}
const citation = ({ cite, year, sureness }: Cited): Omit<RuleSource, 'supports'> => ({
  cite,
  ...(year === undefined ? {} : { year }),
  sureness,
})

function tensionTruth(sides: readonly string[], decisions: ReadonlyMap<string, Decision>) {
  const found = sides.map((id) => decisionOf(decisions, id))
  const truth = conjunction(found.map((side) => side.truth))
  return { truth, missingFacts: [...new Set(found.flatMap(({ missingFacts }) => missingFacts))].sort() }
}
