import type { WorkingRecord } from '../terms/working.js'
import type { Working } from './plan.js'

/** A number to a millionth: far finer than any measurement, and a tenth of the digits that a plan would have to keep. */
export const toMillionth = (value: number): number => Math.round(value * 1e6) / 1e6

/** A working record whose lists belong to the plan that carries it, its numbers to a millionth. */
export const plainWorking = ({ inputs, steps, equation, source }: WorkingRecord): Working => ({
  inputs: inputs.map((input) => (typeof input.value === 'number' ? { ...input, value: toMillionth(input.value) } : input)),
  steps: steps.map((step) => ({ ...step, value: toMillionth(step.value) })),
  equation,
  source,
})
