import { z } from 'zod'
import { caseSchema } from '../case/case.js'
import { ADJUSTMENTS, FORMULAS } from '../terms/formulas.js'
import { SURENESS } from '../terms/source.js'
import { INDICATORS, STEPS } from '../terms/steps.js'
import {
  backupLens,
  biometryCheck,
  fellowEye,
  forecast,
  ordering,
  separateConstants,
  targetChoice,
  toric,
} from './lens-detail-schema.js'
import { source, spread, supply, working } from './shared-schema.js'

/**
 * Everything computed from a case. Pure data: the same case under the same versions gives the same plan, to the bit.
 * Its JSON Schema is published from this zod schema (`soundings plan --schema`).
 */

/** Something true of a value that a reader must know before using it. */
const flag = z.strictObject({ code: z.string(), words: z.string() })

const predicted = z.strictObject({
  /** A lens power that exists, dioptres, signed. */
  powerD: z.number(),
  /** The refraction it is predicted to leave, dioptres at the spectacle plane, signed. */
  refractionD: z.number(),
})

const formulaRow = z.strictObject({
  formula: z.enum(FORMULAS),
  adjustment: z.enum(ADJUSTMENTS),
  axialLengthUsedMm: z.number(),
  /** Weakest and strongest lens that optics alone allow for this length, cornea and target. */
  opticalBounds: spread.optional(),
  /** Absent where the formula is undefined for this eye. */
  effectiveLensPositionMm: z.number().optional(),
  /** Not rounded. Absent where the formula is undefined for this eye: then `reason` says why. */
  powerForTargetD: z.number().optional(),
  /** Whether this value may be used for this eye at all. */
  counts: z.boolean(),
  /** Whether the recommendation stands on this row. */
  basis: z.boolean(),
  /** Why it does not count, or why the recommendation does not stand on it. */
  reason: z.string().optional(),
  flags: z.array(flag),
  predicted: z.array(predicted),
  working: working.optional(),
})

const recommended = z.strictObject({
  powerD: z.number(),
  supply,
  orderDays: z.int().optional(),
  /** Refraction it leaves by the rows that the recommendation stands on. */
  leaves: spread,
  /** Refraction it leaves by the rows that count but carry no length adjustment, when the recommendation stands on adjusted ones. */
  leavesUnadjusted: spread.optional(),
  /** On which rows it stands and why. */
  standsOn: z.string(),
  /** True when a coefficient it stands on has not been read in print. */
  awaitsPrint: z.boolean(),
  /** Only for a lens that must be ordered. */
  ordering: ordering.optional(),
})

const missing = z.strictObject({ fact: z.string(), label: z.string(), wouldChange: z.string() })

const constant = z.strictObject({
  formula: z.enum(FORMULAS),
  name: z.string(),
  value: z.number(),
  origin: z.string(),
  modality: z.enum(['optical', 'ultrasound', 'not-stated']),
  /** How many eyes it was optimised on; 0 says that it was converted or is the label's. Absent when it was stated in the message. */
  eyes: z.int().optional(),
})

const lens = z.strictObject({
  /** What kept the lens power from being computed; empty when it was. */
  missing: z.array(missing),
  target: z.strictObject({ refractionD: z.number(), stated: z.boolean() }),
  lensLabel: z.string().optional(),
  lensListTitle: z.string().optional(),
  constants: z.array(constant),
  formulas: z.array(formulaRow),
  /** Lowest and highest power for the target over the rows that count. */
  spread: spread.optional(),
  recommended: recommended.optional(),
  /** Why there is no recommendation although powers were computed. */
  noRecommendation: z.string().optional(),
  forecast: forecast.optional(),
  /** Present whenever powers were computed: the lens for capsule loss, or what is missing for it. */
  backup: backupLens.optional(),
  fellow: fellowEye.optional(),
  targetChoice: targetChoice.optional(),
  toric: toric.optional(),
  separateConstants: separateConstants.optional(),
  /** Where the powers that this lens is made in have holes. */
  gapsInRange: z.array(z.strictObject({ belowD: z.number(), aboveD: z.number() })).optional(),
  notes: z.array(z.string()),
})

/** One published model's answer about one harm. Results of different models stand side by side and are never combined. */
const risk = z.strictObject({
  id: z.string(),
  about: z.string(),
  model: z.string(),
  population: z.string(),
  years: z.string(),
  /** For whom: the surgeon who operates first, as stated or assumed. */
  surgeon: z.string().optional(),
  /** Probability, 0 to 1, when the model gives one. */
  value: z.number().min(0).max(1).optional(),
  /** Probability range, or words, when the model gives a band. */
  band: z.strictObject({ low: z.number().optional(), high: z.number().optional(), words: z.string() }).optional(),
  /** The same model carried to other base rates: still one model. */
  recalibrated: z.array(z.strictObject({ baseRate: z.string(), value: z.number().min(0).max(1) })),
  /** For other surgeons, same model, so that the reader sees what changes. */
  otherSurgeons: z.array(z.strictObject({ surgeon: z.string(), value: z.number().min(0).max(1) })),
  factorsUsed: z.array(z.strictObject({ factor: z.string(), level: z.string(), effect: z.string() })),
  factorsUnstated: z.array(z.strictObject({ factor: z.string(), wouldChange: z.string() })),
  /** One sentence with plain frequencies, model and years. */
  words: z.string(),
  caveats: z.array(z.string()),
  source,
  working: working.optional(),
})

const surgeryFigure = z.strictObject({
  id: z.string(),
  about: z.string(),
  step: z.enum(STEPS),
  words: z.string(),
  values: z.array(z.strictObject({ name: z.string(), value: z.number(), unit: z.string() })),
  /** Why the model does not hold for this eye. */
  outOfRange: z.string().optional(),
  source,
  working: working.optional(),
})

const precaution = z.strictObject({
  id: z.string(),
  theme: z.string(),
  indicator: z.enum(INDICATORS),
  step: z.enum(STEPS),
  finding: z.enum(['fires', 'quiet', 'unknown']),
  /** `checklist` holds for every operation and never stands among the cautions of this eye. */
  place: z.enum(['eye', 'checklist']),
  text: z.string(),
  why: z.string(),
  /** The question to ask when the finding is unknown. */
  ask: z.string().optional(),
  /** Facts that would decide it. */
  missingFacts: z.array(z.string()),
  /** 1 gravest; orders the critical ones. */
  harm: z.int().min(1).max(5),
  /** Whether something can still be done about it before surgery. */
  changeableBefore: z.boolean(),
  /** Precautions that fire with the same advice are shown as one. */
  advice: z.string().optional(),
  /** The rule layer that spoke: `shipped` or the department's own. */
  layer: z.string(),
  sources: z.array(
    z.strictObject({ cite: z.string(), year: z.int().optional(), sureness: z.enum(SURENESS), supports: z.string() }),
  ),
})

const tension = z.strictObject({
  id: z.string(),
  step: z.enum(STEPS),
  question: z.string(),
  sides: z.array(z.strictObject({ pull: z.string(), sources: z.array(source) })).length(2),
})

const gap = z.strictObject({
  fact: z.string(),
  label: z.string(),
  state: z.enum(['missing', 'doubtful']),
  wouldChange: z.string(),
  /** What to do to close it, as a task: "B-scan", "cell count". */
  task: z.string().optional(),
})

export const planSchema = z.strictObject({
  versions: z.strictObject({
    plan: z.literal(1),
    soundings: z.string(),
    /** Content hash of the formulas' coefficients and sources. */
    formulas: z.string(),
    /** Content hash of the rule set. */
    rules: z.string(),
    /** The department's latest approval of exactly this rule set; absent where nobody approved it. */
    rulesApproved: z.strictObject({ by: z.string(), role: z.string(), on: z.string() }).optional(),
    /** Content hash of the lens list, or `none`. */
    lensList: z.string(),
  }),
  case: caseSchema,
  lens,
  risks: z.array(risk),
  surgery: z.array(surgeryFigure),
  biometryChecks: z.array(biometryCheck),
  precautions: z.array(precaution),
  tensions: z.array(tension),
  gaps: z.array(gap),
})

export type Plan = z.infer<typeof planSchema>
export type FormulaRow = Plan['lens']['formulas'][number]
export type BiometryCheck = Plan['biometryChecks'][number]
export type Risk = Plan['risks'][number]
export type SurgeryFigure = Plan['surgery'][number]
export type Precaution = Plan['precautions'][number]
export type Gap = Plan['gaps'][number]
export type Working = z.infer<typeof working>
