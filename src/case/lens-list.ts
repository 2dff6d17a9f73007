import { z } from 'zod'

/** A step finer than a hundredth would round to none, and the run would never end. */
const isInHundredths = (value: number): boolean => Math.abs(value * 100 - Math.round(value * 100)) < 1e-6

/** A run of lens powers that exist: from, to and step in dioptres, signed. `order` says whether they must be ordered. */
const powerRun = z
  .strictObject({
    fromD: z.number().min(-30).max(60),
    toD: z.number().min(-30).max(60),
    stepD: z.number().positive().max(5),
    supply: z.enum(['in-stock', 'to-order']),
    /** Working days until it is here; only for `to-order`. */
    orderDays: z.int().min(0).max(365).optional(),
  })
  .refine(
    ({ fromD, toD, stepD }) => stepD >= 0.01 && [fromD, toD, stepD].every(isInHundredths),
    'powers and steps are kept to a hundredth of a dioptre: write a step such as 0.5 or 0.25',
  )
  .refine((run) => run.fromD <= run.toD, 'fromD must not be above toD: write the more negative power first')
  .refine((run) => run.supply === 'to-order' || run.orderDays === undefined, 'orderDays belongs to "to-order" only')

const constantsFor = <Shape extends z.ZodRawShape>(shape: Shape) =>
  z.strictObject({
    ...shape,
    /** The axial length these constants were optimised for. */
    modality: z.enum(['optical', 'ultrasound']),
    /** How many eyes they were optimised on; 0 says that they were converted or are the label's. */
    eyes: z.int().min(0),
  })

export const FIXATIONS = ['bag', 'sulcus', 'iris', 'scleral', 'anterior-chamber'] as const

/** One lens the department can implant. Labels are the department's own. */
const lensSchema = z.strictObject({
  label: z.string().min(1).max(60),
  fixation: z.enum(FIXATIONS),
  opticMm: z.number().min(4).max(8),
  constants: z.strictObject({
    'srk-t': constantsFor({ aConstant: z.number().min(90).max(130) }),
    'holladay-1': constantsFor({ surgeonFactorMm: z.number().min(-5).max(10) }).optional(),
    'hoffer-q': constantsFor({ personalisedAcdMm: z.number().min(0).max(12) }).optional(),
    haigis: constantsFor({ a0: z.number(), a1: z.number(), a2: z.number() }).optional(),
  }),
  powers: z.array(powerRun).min(1),
  /** Cylinders that the toric version is made in, dioptres at the lens plane; absent when there is none. */
  toricCylindersD: z.array(z.number().positive().max(12)).min(1).optional(),
})

export const lensListSchema = z
  .strictObject({
    /** Said on every plan that uses it, so that an invented list can never pass for a real one. */
    title: z.string().min(1),
    invented: z.boolean(),
    defaultLens: z.string(),
    /** The lens for capsule loss, by its own fixation and constants. */
    backupLens: z.string().optional(),
    lenses: z.array(lensSchema).min(1),
  })
  .refine((list) => list.lenses.some((lens) => lens.label === list.defaultLens), 'defaultLens must be a label in lenses')
  .refine(
    (list) => list.backupLens === undefined || list.lenses.some((lens) => lens.label === list.backupLens),
    'backupLens must be a label in lenses',
  )
  .refine(
    (list) => list.lenses.every((lens) => lens.label !== list.backupLens || lens.fixation !== 'bag'),
    'backupLens must not be fixed in the bag: it is for an eye whose capsule is lost',
  )

export type LensList = z.infer<typeof lensListSchema>
export type Lens = LensList['lenses'][number]
