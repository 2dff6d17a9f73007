import { z } from 'zod'
import { planSchema } from './plan.js'

/** The plan's JSON Schema (draft 2020-12), made from the zod schema so that the two cannot drift apart. */
export const planJsonSchema = () => z.toJSONSchema(planSchema, { target: 'draft-2020-12' })
