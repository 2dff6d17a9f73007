import { createHash } from 'node:crypto'
import type { Case } from '../case/case.js'
import type { LensList } from '../case/lens-list.js'
import { COEFFICIENTS } from '../optics/formulas.js'
import { evaluateRules } from '../precautions/evaluate.js'
import type { RuleSet } from '../precautions/rules.js'
import { RISK_MODELS, riskStatements } from '../risk/all.js'
import { SURGERY_MODELS, surgeryStatements } from '../surgery/all.js'
import { factsOfCase } from './facts-of-case.js'
import { gapsOf } from './gaps.js'
import { lensPlan } from './lens-plan.js'
import type { Plan } from './plan.js'
import { riskInputOf } from './risk-input-of.js'
import { surgeryInputOf } from './surgery-input-of.js'

/** What a plan stands on besides the case. The same case on the same ground gives the same plan. */
export interface PlanGround {
  /** Version of this program. */
  readonly soundings: string
  readonly ruleSet: RuleSet
  readonly lensList?: LensList | undefined
}

const contentHash = (content: unknown): string => createHash('sha256').update(JSON.stringify(content)).digest('hex').slice(0, 16)

/** Changes whenever any coefficient, or what is known of its source, changes. */
const FORMULAS_VERSION = contentHash([COEFFICIENTS, RISK_MODELS, SURGERY_MODELS])

/**
 * Computes everything from a case: lens, risks, numbers for the operation, precautions, tensions and gaps. No input or
 * output, no clock, no randomness.
 */
export async function makePlan(known: Case, ground: PlanGround): Promise<Plan> {
  const lens = lensPlan(known, ground.lensList)
  const findings = await evaluateRules(ground.ruleSet, factsOfCase(known, lens.recommended?.powerD))
  return {
    versions: {
      plan: 1,
      soundings: ground.soundings,
      formulas: FORMULAS_VERSION,
      rules: findings.version,
      lensList: ground.lensList ? contentHash(ground.lensList) : 'none',
    },
    case: known,
    lens,
    risks: riskStatements(riskInputOf(known)),
    surgery: surgeryStatements(surgeryInputOf(known)),
    precautions: findings.precautions,
    tensions: findings.tensions,
    gaps: gapsOf(known, lens, findings.precautions),
  }
}
