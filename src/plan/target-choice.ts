import type { Case } from '../case/case.js'
import { lensPower, refraction } from '../terms/power.js'
import { dioptres } from '../terms/units.js'
import { chosenFor, type LensAnswer, withLeaves } from './lens-answer.js'
import type { Plan } from './plan.js'

type Choice = NonNullable<Plan['lens']['targetChoice']>

/** From this length an eye counts as highly myopic by its axis, mm; the usual bound. */
const HIGHLY_MYOPIC_FROM_MM = 26
/** A target at least as myopic as this is a reading target already, dioptres. */
const READING_FROM_D = -1.5
/** Sharp at 40 cm, the usual reading distance: 1/0.40 m. */
const READING_D = -2.5
/** A refraction stated as weaker than this says that the eye was no high myope, dioptres. */
const LIFELONG_FROM_D = -3

/**
 * Emmetropia or a reading target: both lenses, as a question. Asked of every long eye whose history is myopic or not stated,
 * unless the target is a reading one already.
 */
export function targetChoiceOf(known: Case, answer: LensAnswer): Choice | undefined {
  const length = known.axialLengthMm?.value
  const target = known.targetRefractionD?.value
  const refracted = known.refraction?.value.sphericalEquivalentD
  if (length === undefined || length < HIGHLY_MYOPIC_FROM_MM) return undefined
  if (target !== undefined && target <= READING_FROM_D) return undefined
  if (refracted !== undefined && refracted > LIFELONG_FROM_D) return undefined
  const option = (aim: string, targetD: number): Choice['options'][number] => {
    const power = chosenFor(answer, dioptres(targetD))
    const lens = power && withLeaves(answer, power)
    return { aim, targetD, ...(lens ? { lens } : {}) }
  }
  const options = [option('far without glasses', 0), option('reading without glasses', READING_D)]
  const said = options.map(
    ({ aim, targetD, lens }) => `${aim} (${refraction(targetD)}): ${lens ? lensPower(lens.powerD) : 'no lens that is made'}`,
  )
  return {
    question: `Does this patient read without glasses now, and want to go on? ${said.join('; ')}.`,
    options,
    source: { cite: 'common practice, no source', sureness: 'convention' },
  }
}
