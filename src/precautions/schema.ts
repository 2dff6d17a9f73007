import { z } from 'zod'
import { SURENESS } from '../terms/source.js'
import { INDICATORS, STEPS } from '../terms/steps.js'
import type { Condition, Trigger } from './condition.js'
import type { FactRecord } from './facts.js'
import { didYouMean, FACT_NAMES, type Flaw, isFactName, readTrigger, shown, valueFlaw } from './read-condition.js'

export const THEMES = [
  'high-myopia',
  'dense-nucleus',
  'dense-nucleus-in-long-eye',
  'capsule-and-zonules',
  'retina',
  'endothelium',
  'anaesthesia',
  'biometry-and-lens',
  'glaucoma-and-steroid',
  'after-surgery',
  'checklist',
] as const

/** How strong the evidence behind a precaution is, strongest first. */
export const EVIDENCE = ['guideline', 'trial', 'review', 'cohort', 'case-series', 'laboratory', 'convention'] as const
export const PLACES = ['eye', 'checklist'] as const

export const LONGEST_TEXT = 160
const LONGEST_REASON = 500

/** What to write instead travels in the issue's `params`. */
const report =
  (context: z.RefinementCtx) =>
  ({ path, message, instead }: Flaw): void => {
    context.addIssue({ code: 'custom', path: [...path], message, params: { instead } })
  }

const id = z.string().regex(/^[a-z0-9]+(?:-[a-z0-9]+)*$/)
const text = z.string().trim().min(1).max(LONGEST_TEXT)
const reason = z.string().trim().min(1).max(LONGEST_REASON)

const trigger = z.unknown().transform((value, context): Trigger => readTrigger(value, [], report(context)) ?? z.NEVER)
const condition = z.unknown().transform((value, context): Condition => {
  const read = readTrigger(value, [], report(context))
  if (read !== undefined && !('always' in read)) return read
  if (read !== undefined)
    report(context)({ path: [], message: 'a side of a tension cannot hold always', instead: 'say in which eyes' })
  return z.NEVER
})

/** The facts an example states; the others are not known. */
const example = z.record(z.string(), z.unknown()).transform((fields, context): Partial<FactRecord> => {
  for (const [fact, value] of Object.entries(fields)) {
    if (!isFactName(fact)) {
      const instead = didYouMean(fact, FACT_NAMES)
      report(context)({ path: [fact], message: `${shown(fact)} is not a fact that rules may speak of`, instead })
      continue
    }
    const wrong = value === null ? undefined : valueFlaw(fact, value)
    if (wrong !== undefined) report(context)({ path: [fact], ...wrong })
  }
  return fields as Partial<FactRecord>
})

const source = z.strictObject({
  cite: z.string().trim().min(1),
  year: z.int().min(1900).max(2100).optional(),
  sureness: z.enum(SURENESS),
  supports: z.string().trim().min(1),
})

export const ruleSchema = z.strictObject({
  id,
  theme: z.enum(THEMES),
  step: z.enum(STEPS),
  indicator: z.enum(INDICATORS),
  place: z.enum(PLACES),
  /** 1 gravest. */
  harm: z.int().min(1).max(5),
  changeableBefore: z.boolean(),
  when: trigger,
  /** Precautions with the same advice are shown as one. */
  advice: id.optional(),
  text,
  why: reason,
  ask: reason.optional(),
  evidence: z.enum(EVIDENCE),
  sources: z.array(source).min(1),
  examples: z.strictObject({
    fires: z.array(example).min(1),
    quiet: z.array(example).optional(),
    unknown: z.array(example).optional(),
  }),
  /** The name a department gives to its own rules; shipped files do not carry it. */
  layer: z.string().trim().min(1).max(60).optional(),
})

export const tensionSchema = z.strictObject({
  id,
  step: z.enum(STEPS),
  question: reason,
  sides: z
    .array(z.strictObject({ pull: reason, when: condition, precautions: z.array(id), sources: z.array(source).min(1) }))
    .length(2),
  examples: z.strictObject({ fires: z.array(example).min(1), quiet: z.array(example).min(1) }),
  layer: z.string().trim().min(1).max(60).optional(),
})

/** What a department changes of a shipped precaution. The shipped file stays as it is. */
export const overrideSchema = z.strictObject({
  override: id,
  layer: z.string().trim().min(1).max(60),
  indicator: z.enum(INDICATORS).optional(),
  text: text.optional(),
  off: z.strictObject({ because: reason }).optional(),
})

export type PrecautionRule = z.output<typeof ruleSchema>
export type TensionRule = z.output<typeof tensionSchema>
export type Override = z.output<typeof overrideSchema>
