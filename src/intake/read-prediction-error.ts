import { bridge } from './marks.js'
import { matchAt, phrases } from './phrases.js'
import { fact, type Reader, tokenAt } from './reading.js'
import { shownDioptres, signed, signedAt } from './signed-dioptres.js'
import { unitAt } from './units-written.js'

export const PREDICTION_ERROR_FORMS = phrases(
  [
    'prediction error',
    'refractive prediction error',
    'refractive surprise',
    'surprise',
    'first eye surprise',
    'refractive error of prediction',
  ].map((form) => [form, true] as const),
)
const LARGEST_D = 15

/** What the first eye came out at minus what was predicted for it: "fellow eye prediction error +0.75". */
export const readPredictionError: Reader = (place) => {
  const match = matchAt(PREDICTION_ERROR_FORMS, place.tokens, place.at)
  if (match === undefined) return undefined
  const sign = tokenAt(place, match.used)?.text === '-' ? 0 : bridge(place, match.used)
  let used = match.used + sign
  const found = signedAt(place, used)
  if (found === undefined) return undefined
  used += found.used
  const unit = unitAt(place, used)
  if (unit?.unit === 'D') used += unit.used
  const field = 'fellow.predictionErrorD'
  if (!found.signed) {
    const message = `prediction error ${found.text} has no sign.`
    const instead = `prediction error +${found.text} if it came out more hyperopic than predicted, -${found.text} if more myopic`
    return { used, faults: [{ kind: 'sign', field, blocks: true, message, instead }] }
  }
  if (Math.abs(found.value) > LARGEST_D) {
    const message = `prediction error ${signed(found.value)} D is outside -${LARGEST_D} to +${LARGEST_D} D.`
    return { used, faults: [{ kind: 'out-of-range', field, blocks: true, message, instead: 'prediction error +0.75' }] }
  }
  return { used, facts: [fact(field, 'prediction error of the first eye', found.value, shownDioptres(found.value))] }
}
