import { z } from 'zod'
import { FIXATIONS } from '../case/lens-list.js'
import { ADJUSTMENTS, FORMULAS } from '../terms/formulas.js'
import { probability, source, spread, supply, working } from './shared-schema.js'

/** Chances about the predicted refraction. */
const chances = z.strictObject({
  withinHalf: probability,
  withinOne: probability,
  /** Of ending more than 0.50 D on the hyperopic side. */
  hyperopicSurprise: probability,
  /** Holds 95 % of outcomes. */
  interval: spread,
})

/** How sure the refraction is that the recommended lens leaves, by one formula. */
export const forecast = z.strictObject({
  formula: z.enum(FORMULAS),
  adjustment: z.enum(ADJUSTMENTS),
  /** Why this row and no other. */
  row: z.string(),
  powerD: z.number(),
  predictedD: z.number(),
  standardDeviationD: z.number(),
  /** The same without the error of refracting the patient afterwards. */
  withoutRefractionD: z.number(),
  /** If nothing is systematically wrong. */
  unbiased: chances,
  biases: z.array(z.strictObject({ words: z.string(), biasD: z.number(), source })),
  /** If the tendencies named hold in full; absent where none is named. */
  biased: chances.optional(),
  contributions: z.array(
    z.strictObject({
      errorSource: z.string(),
      standardUncertainty: z.number(),
      unit: z.enum(['mm', 'D']),
      /** Dioptres of refraction per unit. */
      sensitivity: z.number(),
      effectD: z.number(),
      source,
    }),
  ),
  dominant: z.string(),
  /** The most telling first. */
  measureAgain: z.array(
    z.strictObject({ errorSource: z.string(), action: z.string(), standardDeviationD: z.number(), narrowsD: z.number() }),
  ),
  simulated: z
    .strictObject({
      draws: z.int(),
      seed: z.int(),
      undefinedShare: probability,
      meanD: z.number(),
      standardDeviationD: z.number(),
      medianD: z.number(),
      interval: spread,
      withinHalf: probability,
      withinOne: probability,
      /** Whether it says the same as the first-order budget. */
      agrees: z.boolean(),
      words: z.string(),
    })
    .optional(),
  model: z.string(),
  population: z.string(),
  years: z.string(),
  caveats: z.array(z.string()),
  working,
})

/** A lens that exists and what it leaves. */
export const lensThatExists = z.strictObject({
  powerD: z.number(),
  supply,
  orderDays: z.int().optional(),
  leaves: spread,
})

/** The lens for an eye whose capsule cannot hold the one planned. */
export const backupLens = z.strictObject({
  label: z.string().optional(),
  fixation: z.enum(FIXATIONS).optional(),
  opticMm: z.number().optional(),
  lens: lensThatExists.optional(),
  standsOn: z.string().optional(),
  /** What the rows that count ask for, with this lens's own constants. */
  rows: z.array(z.strictObject({ formula: z.enum(FORMULAS), adjustment: z.enum(ADJUSTMENTS), powerForTargetD: z.number() })),
  /** Why there is none. */
  missing: z.string().optional(),
  /** What to have in theatre. */
  prepare: z.string(),
  working: working.optional(),
})

/** When the recommended lens must be ordered, and what can be had without ordering. */
export const ordering = z.strictObject({
  days: z.int().optional(),
  /** ISO date; absent when the day of surgery is not known. */
  by: z.string().optional(),
  words: z.string(),
  /** The weakest lens in stock on the myopic side of the target. */
  withoutOrdering: lensThatExists.optional(),
})

const secondEye = z.strictObject({
  firstEyeErrorD: z.number(),
  correctionD: z.number().optional(),
  aimD: z.number().optional(),
  plain: lensThatExists.optional(),
  corrected: lensThatExists.optional(),
  words: z.string(),
  source,
  working: working.optional(),
})

/** The operated eye beside the other one. */
export const fellowEye = z.strictObject({
  /** Refraction of the fellow eye less what the recommended lens leaves. */
  anisometropia: spread.optional(),
  /** Retinal image of the operated eye against the fellow eye, both corrected by spectacles, percent; optics alone. */
  aniseikoniaPercent: z.number().optional(),
  secondEye: secondEye.optional(),
  words: z.array(z.string()),
  missing: z.array(z.string()),
  source: source.optional(),
  working: working.optional(),
})

/** What a lifelong high myope may want: to see far without glasses, or to go on reading without them. */
export const targetChoice = z.strictObject({
  question: z.string(),
  options: z.array(z.strictObject({ aim: z.string(), targetD: z.number(), lens: lensThatExists.optional() })),
  source,
})

const astigmatism = z.strictObject({ magnitudeD: z.number(), meridianDeg: z.number() })

export const toric = z.strictObject({
  because: z.string(),
  keratometric: astigmatism.optional(),
  /** Stated flattening of the incision, as plus power at the meridian across it. */
  induced: astigmatism.optional(),
  estimates: z.array(
    z.strictObject({
      model: z.string(),
      population: z.string(),
      years: z.string(),
      total: astigmatism.optional(),
      /** Cylinder at the lens plane that corrects it. */
      lensCylinderD: z.number().optional(),
      outOfRange: z.string().optional(),
      source,
    }),
  ),
  lens: z.strictObject({ cylinderD: z.number(), meridianDeg: z.number(), leaves: astigmatism, words: z.string() }).optional(),
  rotation: z.array(z.strictObject({ degrees: z.number(), shareLeft: z.number() })),
  missing: z.array(z.string()),
  caveats: z.array(z.string()),
  working: working.optional(),
})

/** Only on request, and always with the objection. */
export const separateConstants = z.strictObject({
  pairs: z.array(
    z.strictObject({
      formula: z.enum(FORMULAS),
      withPlusConstantD: z.number().optional(),
      withMinusConstantD: z.number().optional(),
      consistentD: z.number().optional(),
      noNumber: z.array(z.string()),
      source,
      working,
    }),
  ),
  objection: z.string(),
  objectionSource: source,
})

/** Biometry held against published limits and against itself. `confirm` asks for a second look and blocks nothing. */
export const biometryCheck = z.strictObject({
  id: z.string(),
  finding: z.enum(['confirm', 'within', 'unknown']),
  words: z.string(),
  source,
})
