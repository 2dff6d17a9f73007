import type { Sureness } from '../terms/source.js'
import type { Indicator, Step } from '../terms/steps.js'
import { decide, engineRulesOf } from './engine-run.js'
import type { FactName, FactRecord } from './facts.js'
import { fault } from './fault.js'
import type { Folded, Reason } from './fold.js'
import { conjunction, type Finding, findingOf } from './kleene.js'
import { type LayeredRule, type LayeredTension, questionsOf, type RuleSet, sideId } from './rules.js'

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

/** How one question came out, for the reader who asks why. */
export interface Decision {
  /** A precaution's id, or a tension's id with `/0` or `/1` for its side. */
  readonly id: string
  readonly finding: Finding
  readonly missingFacts: readonly FactName[]
  readonly reasons: readonly Reason[]
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
  /** Every precaution, then every side of a tension. */
  readonly decisions: readonly Decision[]
}

/**
 * What the rules say of one eye. Every precaution comes back as fires, quiet or unknown; none is ever lost or passed for quiet
 * because a fact is missing.
 * @param ruleSet as built by `buildRuleSet`
 * @param facts every declared fact, null where not known
 * @throws a coded fault when the engine lost a rule or a fact has the wrong kind
 */
export async function evaluateRules(ruleSet: RuleSet, facts: FactRecord): Promise<Findings> {
  const folded = await decide(engineRulesOf(ruleSet), facts)
  const tensions = ruleSet.tensions.map((tension) => tensionTruth(tension, folded))
  return {
    version: ruleSet.version,
    precautions: ruleSet.precautions.map((rule) => precautionFinding(rule, resultOf(folded, rule.id))),
    tensions: tensions.filter(({ truth }) => truth === true).map(({ tension }) => tensionFinding(tension)),
    openTensions: tensions
      .filter(({ truth }) => truth === null)
      .map(({ tension, missing }) => ({ id: tension.id, missingFacts: missing })),
    decisions: questionsOf(ruleSet).map(({ id }) => {
      const { truth, missing, reasons } = resultOf(folded, id)
      return { id, finding: findingOf(truth), missingFacts: openOnly(truth, missing), reasons }
    }),
  }
}

function resultOf(folded: ReadonlyMap<string, Folded>, id: string): Folded {
  const result = folded.get(id)
  if (result === undefined) throw fault('PRECAUTIONS.RULES_LOST', `there is no result for ${id}`)
  return result
}

const openOnly = (truth: boolean | null, missing: readonly FactName[]): FactName[] => (truth === null ? [...missing] : [])

const precautionFinding = (rule: LayeredRule, { truth, missing }: Folded): PrecautionFinding => ({
  id: rule.id,
  theme: rule.theme,
  indicator: rule.indicator,
  step: rule.step,
  finding: findingOf(truth),
  place: rule.place,
  text: rule.text,
  why: rule.why,
  ...(rule.ask === undefined ? {} : { ask: rule.ask }),
  missingFacts: openOnly(truth, missing),
  harm: rule.harm,
  changeableBefore: rule.changeableBefore,
  ...(rule.advice === undefined ? {} : { advice: rule.advice }),
  layer: rule.layer,
  sources: rule.sources.map(({ supports, ...source }) => ({ ...citation(source), supports })),
})

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

function tensionTruth(tension: LayeredTension, folded: ReadonlyMap<string, Folded>) {
  const sides = tension.sides.map((_, side) => resultOf(folded, sideId(tension.id, side)))
  const truth = conjunction(sides.map((side) => side.truth))
  const open = sides.flatMap((side) => openOnly(side.truth, side.missing))
  return { tension, truth, missing: [...new Set(open)].sort() }
}
