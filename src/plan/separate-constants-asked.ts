import type { Case } from '../case/case.js'
import { CONSTANT_PAIRS, withSeparateConstants } from '../optics/separate-constants.js'
import { FORMULA_NAMES } from '../terms/formulas.js'
import type { EyeForLens } from './formula-rows.js'
import type { Plan } from './plan.js'

type Separate = NonNullable<Plan['lens']['separateConstants']>

/** Powers by separate constants for plus and minus lenses: only when asked for by name, beside the rest, never stood on. */
export function separateConstantsOf(known: Case, eye: EyeForLens): Separate | undefined {
  if (known.separateConstantsAsked?.value !== true) return undefined
  const answers = CONSTANT_PAIRS.map((pair) => withSeparateConstants(pair, eye, eye.target))
  const [first] = answers
  if (!first) return undefined
  const undecided = answers.find(({ consistent }) => consistent === undefined) ?? first
  return {
    pairs: answers.map(({ formula, withPlusConstant, withMinusConstant, consistent, source }) => {
      const sides = [
        ['plus', withPlusConstant],
        ['minus', withMinusConstant],
      ] as const
      return {
        formula,
        ...(withPlusConstant.kind === 'computed' ? { withPlusConstantD: withPlusConstant.value } : {}),
        ...(withMinusConstant.kind === 'computed' ? { withMinusConstantD: withMinusConstant.value } : {}),
        ...(consistent === undefined ? {} : { consistentD: consistent }),
        noNumber: sides.flatMap(([side, outcome]) =>
          outcome.kind === 'computed' ? [] : [`${side} constant: ${outcome.reason}`],
        ),
        source,
        working: {
          inputs: [
            { name: 'axial length', value: eye.axialLength, unit: 'mm' },
            { name: 'keratometry', value: eye.keratometry, unit: 'D' },
            { name: 'target', value: eye.target, unit: 'D' },
          ],
          steps: sides.flatMap(([side, outcome]) =>
            outcome.kind === 'computed' ? [{ name: `power with the ${side} constant`, value: outcome.value, unit: 'D' }] : [],
          ),
          equation: `${FORMULA_NAMES[formula]} with one constant for plus and another for minus lenses, no length adjustment`,
          source,
        },
      }
    }),
    objection: undecided.objection,
    objectionSource: undecided.objectionSource,
  }
}
