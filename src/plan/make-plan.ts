import type { Case } from '../case/case.js'
import type { LensList } from '../case/lens-list.js'
import { OPTICS_MODELS } from '../optics/all.js'
import { evaluateRules } from '../precautions/evaluate.js'
import type { RuleSet } from '../precautions/rules.js'
import { approvalsOf, type SignOff } from '../precautions/sign-offs.js'
import { RISK_MODELS, riskStatements } from '../risk/all.js'
import { SURGERY_MODELS, surgeryStatements } from '../surgery/all.js'
import { biometryChecksOf } from './biometry-checks.js'
import { contentHash } from './content-hash.js'
import { factsOfCase } from './facts-of-case.js'
import { gapsOf } from './gaps.js'
import { lensPlan } from './lens-plan.js'
import type { Plan } from './plan.js'
import { riskInputOf } from './risk-input-of.js'
import { withSurgeryWorking, withWorking } from './statement-working.js'
import { surgeryInputOf } from './surgery-input-of.js'

/** What a plan stands on besides the case. The same case on the same ground gives the same plan. */
export interface PlanGround {
  /** Version of this program. */
  readonly soundings: string
  readonly ruleSet: RuleSet
  /** The department's record of approvals; a plan states the latest that names exactly its rule set. */
  readonly ruleSignOffs?: readonly SignOff[] | undefined
  readonly lensList?: LensList | undefined
  /** Whether each forecast is held against 10,000 simulated operations; about doubles the time of a plan. */
  readonly monteCarlo?: boolean | undefined
}

/** Raised by hand whenever the same coefficients give other numbers or words than before. */
const CALCULATION = 2

/** Changes whenever any coefficient, or what is known of its source, or the way of computing changes. */
const FORMULAS_VERSION = contentHash([CALCULATION, OPTICS_MODELS, RISK_MODELS, SURGERY_MODELS])

const listVersions = new WeakMap<LensList, string>()

/** A list is read once and stands behind every plan: its version is worked out once. */
function lensListVersion(lensList: LensList | undefined): string {
  if (!lensList) return 'none'
  const version = listVersions.get(lensList) ?? contentHash(lensList)
  listVersions.set(lensList, version)
  return version
}

/**
 * Computes everything from a case: lens, risks, numbers for the operation, precautions, tensions and gaps. No input or
 * output, no clock; what is drawn at random is drawn from a seed that the case's own numbers give.
 */
export async function makePlan(known: Case, ground: PlanGround): Promise<Plan> {
  const lens = lensPlan(known, ground.lensList, { monteCarlo: ground.monteCarlo })
  const biometryChecks = biometryChecksOf(known)
  const findings = await evaluateRules(ground.ruleSet, factsOfCase(known, lens.recommended?.powerD))
  return {
    versions: {
      plan: 1,
      soundings: ground.soundings,
      formulas: FORMULAS_VERSION,
      rules: findings.version,
      ...approval(ground),
      lensList: lensListVersion(ground.lensList),
    },
    case: known,
    lens,
    risks: riskStatements(riskInputOf(known)).map(withWorking),
    surgery: surgeryStatements(surgeryInputOf(known)).map(withSurgeryWorking),
    biometryChecks,
    precautions: findings.precautions,
    tensions: findings.tensions,
    gaps: gapsOf(lens, biometryChecks, findings.precautions),
  }
}

/**
 * Plans on one ground. One that is only looked at may leave its simulation out: a number of it stands nowhere else in the
 * plan, and it takes as long as all the rest.
 */
export const plansOn =
  (ground: PlanGround) =>
  (known: Case, { simulated = true }: { readonly simulated?: boolean } = {}): Promise<Plan> =>
    makePlan(known, simulated ? ground : { ...ground, monteCarlo: false })

function approval({ ruleSet, ruleSignOffs = [] }: PlanGround): Pick<Plan['versions'], 'rulesApproved'> {
  const latest = approvalsOf(ruleSignOffs, ruleSet.version).at(-1)
  return latest === undefined ? {} : { rulesApproved: { by: latest.who, role: latest.role, on: latest.when } }
}
