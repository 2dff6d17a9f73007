import type { WorkingRecord } from '../terms/working.js'
import type { Working } from './plan.js'

/** A working record whose lists belong to the plan that carries it. */
export const plainWorking = ({ inputs, steps, equation, source }: WorkingRecord): Working => ({
  inputs: [...inputs],
  steps: [...steps],
  equation,
  source,
})
