import { bridge } from './marks.js'
import { matchAt, phrases } from './phrases.js'
import { fact, type Reader, tokenAt } from './reading.js'

export const INDEX_FORMS = phrases(
  ['n', 'index', 'keratometric index', 'k index', 'corneal index', 'refractive index', 'nk', 'n_k'].map(
    (form) => [form, true] as const,
  ),
)

/** The keratometric index: "n 1.332", "index 1.3375". */
export const readIndex: Reader = (place) => {
  const match = matchAt(INDEX_FORMS, place.tokens, place.at)
  if (match === undefined) return undefined
  const used = match.used + bridge(place, match.used)
  const token = tokenAt(place, used)
  if (token?.kind !== 'number') return undefined
  const value = Number(token.text.replace(',', '.'))
  if (value >= 1.3 && value <= 1.4)
    return { used: used + 1, facts: [fact('keratometricIndex', 'keratometric index', value, String(value))] }
  if (tokenAt(place, 0)?.lower === 'n') return undefined
  return {
    used: used + 1,
    faults: [
      {
        kind: 'out-of-range',
        field: 'keratometricIndex',
        blocks: true,
        message: `keratometric index ${token.text} is outside 1.3 to 1.4.`,
        instead: 'n 1.3375',
      },
    ],
  }
}
