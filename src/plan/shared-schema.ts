import { z } from 'zod'
import { SURENESS } from '../terms/source.js'

/** The parts that many places of a plan have in common. */
export const source = z.strictObject({ cite: z.string(), year: z.int().optional(), sureness: z.enum(SURENESS) })

/** How a number came about, so that a card can unfold it. */
export const working = z.strictObject({
  inputs: z.array(z.strictObject({ name: z.string(), value: z.union([z.number(), z.string()]), unit: z.string().optional() })),
  /** Intermediate results in the order in which they were computed. */
  steps: z.array(z.strictObject({ name: z.string(), value: z.number(), unit: z.string().optional() })),
  equation: z.string(),
  source,
})

/** Dioptres, signed, the lower first. */
export const spread = z.strictObject({ lowD: z.number(), highD: z.number() })

export const supply = z.enum(['in-stock', 'to-order', 'assumed-steps'])
export const probability = z.number().min(0).max(1)
