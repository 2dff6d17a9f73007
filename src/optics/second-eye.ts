import { computed, type Outcome } from '../terms/outcome.js'
import type { Source } from '../terms/source.js'
import { type Dioptres, dioptres } from '../terms/units.js'
import { noAnswer } from './no-answer.js'

export const SECOND_EYE_SOURCE: Source = {
  cite: 'Gorodezky L, Mazinani BAE, Plange N, Walter P, Wenzel M, Roessler G. Clin Ophthalmol 2014;8:2177-2181 (abstract, 335 patients); half is also UK guidance, NICE NG77, 2017 (from memory)',
  year: 2014,
  sureness: 'read',
}

const SHARE = 0.5
/** Beyond this an error of the first eye wants a cause, not a correction; this project's own limit. */
const LARGEST_ERROR = 3

export interface SecondEye {
  /** What to aim the calculation at so that the target is met, dioptres at the spectacle plane. */
  readonly aim: Dioptres
  /** Added to the target, dioptres. */
  readonly correction: Dioptres
  readonly source: Source
}

/**
 * Corrects the second eye by half of the prediction error of the first.
 *
 * - Domain: the first eye's refraction is stable and nothing explains its error (wrong lens, surgery, scar); error to 3 D.
 * - Source: Gorodezky 2014; a meeting abstract (206 patients, iovs.arvojournals.org/article.aspx?articleid=2363229) found the
 *   best share to be 50 % too.
 *
 * @example
 * ```ts
 * secondEyeAim(dioptres(-1), dioptres(0.8)).value.correction // => -0.4
 * ```
 * @param target refraction wanted, dioptres at the spectacle plane
 * @param firstEyeError achieved less predicted refraction of the first eye, dioptres; positive was a hyperopic surprise
 */
export function secondEyeAim(target: Dioptres, firstEyeError: Dioptres): Outcome<SecondEye> {
  if (!(Math.abs(firstEyeError) <= LARGEST_ERROR)) {
    const reason = `The first eye missed by ${firstEyeError} D: find the cause before correcting the second eye by it.`
    return noAnswer('first-eye prediction error', firstEyeError, 'D', reason, -LARGEST_ERROR, LARGEST_ERROR)
  }
  const correction = dioptres(-SHARE * firstEyeError)
  return computed({ aim: dioptres(target + correction), correction, source: SECOND_EYE_SOURCE })
}
