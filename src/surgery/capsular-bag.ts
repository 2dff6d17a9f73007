import { computed, firstOutside, type Outcome } from '../terms/outcome.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { SurgeryStatement } from '../terms/surgery-statement.js'
import { type Dioptres, dioptres, type Millimetres, mm } from '../terms/units.js'
import type { SurgeryInput } from './surgery-input.js'

/** Beyond this length the quadratic turns over and would call a longer eye's bag smaller. */
export const TURNS_OVER_AT_MM = 26.4

export const CAPSULAR_BAG_1999: PublishedModel = {
  id: 'capsular-bag-1999',
  about: 'Capsular bag diameter',
  model: '1999 regression on corneal power and axial length',
  population: '70 eyes measured in vivo, ordinary lengths, mean 10.37 mm (SD 0.25), r² 0.31',
  years: '1999',
  source: {
    cite: 'Vass C, Menapace R, Schmetterer K, et al. J Cataract Refract Surg 1999;25:1376-1381',
    year: 1999,
    sureness: 'read',
  },
  coefficients: [
    { name: 'constant', value: 3.44, unit: 'mm', sureness: 'read' },
    { name: 'per dioptre of corneal power', value: -0.056, unit: 'mm/D', sureness: 'read' },
    { name: 'per millimetre of axial length', value: 0.713, unit: 'mm/mm', sureness: 'read' },
    { name: 'per squared millimetre of axial length', value: -0.0135, unit: 'mm/mm²', sureness: 'read' },
    { name: 'turns over at', value: TURNS_OVER_AT_MM, unit: 'mm', sureness: 'derived' },
  ],
}

/** The fitted lengths and powers were not seen in print: the lower limits and those of the cornea are a convention. */
const DOMAIN = {
  'axial length': { low: 20, high: TURNS_OVER_AT_MM, unit: 'mm' },
  'corneal power': { low: 38, high: 50, unit: 'D' },
}

/**
 * Diameter of the capsular bag, CBD = 3.44 − 0.056 P + 0.713 AL − 0.0135 AL².
 *
 * - Domain: axial length 20 to 26.4 mm, corneal power 38–50 D. Outside it: refused. The quadratic peaks at 26.4 mm, so
 *   that it is neither extrapolated nor clamped.
 * - Source: Vass C et al. J Cataract Refract Surg 1999;25:1376-1381.
 */
export function capsularBagDiameter(axialLength: Millimetres, cornealPower: Dioptres): Outcome<Millimetres> {
  const outside = firstOutside({ 'axial length': axialLength, 'corneal power': cornealPower }, DOMAIN)
  return outside ?? computed(mm(3.44 - 0.056 * cornealPower + 0.713 * axialLength - 0.0135 * axialLength * axialLength))
}

/** The paper's own words for a bag. */
const sizeOf = (diameter: number): string => (diameter > 10.7 ? 'large' : diameter < 10.1 ? 'small' : 'usual')

/** The bag's diameter where the regression holds; in a longer eye, that it does not. */
export function capsularBagFigure({ axialLengthMm, meanKeratometryD }: SurgeryInput): SurgeryStatement {
  const base = {
    id: CAPSULAR_BAG_1999.id,
    about: CAPSULAR_BAG_1999.about,
    step: 'lens',
    source: CAPSULAR_BAG_1999.source,
  } as const
  if (axialLengthMm !== undefined && axialLengthMm > TURNS_OVER_AT_MM && axialLengthMm <= 40) {
    return {
      ...base,
      words: `Capsular bag: the 1999 regression is out of range above ${TURNS_OVER_AT_MM} mm (${axialLengthMm} mm here); about 10.4 to 10.6 mm or larger, do not size from it`,
      values: [],
      outOfRange: `axial length ${axialLengthMm} mm is above ${TURNS_OVER_AT_MM} mm, where the regression turns over`,
    }
  }
  if (axialLengthMm === undefined || meanKeratometryD === undefined) {
    const missing = [axialLengthMm === undefined ? 'axial length' : '', meanKeratometryD === undefined ? 'keratometry' : '']
    return { ...base, words: `Capsular bag: no figure, not stated: ${missing.filter(Boolean).join(', ')}`, values: [] }
  }
  const outcome = capsularBagDiameter(mm(axialLengthMm), dioptres(meanKeratometryD))
  if (outcome.kind === 'outside-domain') {
    return { ...base, words: `Capsular bag: no figure. ${outcome.reason}`, values: [], outOfRange: outcome.reason }
  }
  const diameter = outcome.value
  return {
    ...base,
    words: `Capsular bag about ${diameter.toFixed(1)} mm, ${sizeOf(diameter)} (1999 regression, 70 eyes; explains a third of the spread)`,
    values: [{ name: 'capsular bag diameter', value: diameter, unit: 'mm' }],
    working: {
      inputs: [
        { name: 'axial length', value: axialLengthMm, unit: 'mm' },
        { name: 'corneal power', value: meanKeratometryD, unit: 'D' },
      ],
      steps: [{ name: 'capsular bag diameter', value: diameter, unit: 'mm' }],
      equation: 'CBD = 3.44 − 0.056 P + 0.713 AL − 0.0135 AL²',
      source: CAPSULAR_BAG_1999.source,
    },
  }
}
