import { firstOutside } from '../terms/outcome.js'
import type { PublishedModel } from '../terms/published-model.js'
import type { SurgeryStatement } from '../terms/surgery-statement.js'
import type { SurgeryInput } from './surgery-input.js'

/** A standard ring has two sizes: as it lies open and compressed in the bag. They name one ring, not a range. */
export interface RingSize {
  readonly openMm: number
  readonly compressedMm: number
}

export const RING_SIZES = {
  small: { openMm: 12, compressedMm: 10 },
  larger: { openMm: 13, compressedMm: 11 },
  largest: { openMm: 14.5, compressedMm: 12 },
} as const satisfies Readonly<Record<string, RingSize>>

export const CAPSULAR_RING: PublishedModel = {
  id: 'capsular-ring',
  about: 'Capsular tension ring, if one is used',
  model: 'rule of thumb by axial length',
  population: 'common practice; sizes compared in 120 eyes of 30 mm or more',
  years: 'common practice; 2026',
  source: {
    cite: 'common practice, no source; two sizes compared: Liu et al., trial in eyes of 30 mm or more',
    sureness: 'convention',
  },
  coefficients: [
    ...Object.values(RING_SIZES).flatMap(({ openMm, compressedMm }) => [
      { name: `ring ${openMm} mm open`, value: openMm, unit: 'mm', sureness: 'secondary' as const },
      { name: `ring ${openMm} mm open, compressed`, value: compressedMm, unit: 'mm', sureness: 'secondary' as const },
    ]),
    { name: 'small ring below', value: 24, unit: 'mm', sureness: 'memory' },
    { name: 'next larger ring above', value: 28, unit: 'mm', sureness: 'memory' },
  ],
}

export const ringInWords = ({ openMm, compressedMm }: RingSize): string => `${openMm} mm open, ${compressedMm} mm compressed`

const valuesOf = (size: RingSize, name: string): SurgeryStatement['values'] => [
  { name: `${name}, open`, value: size.openMm, unit: 'mm' },
  { name: `${name}, compressed`, value: size.compressedMm, unit: 'mm' },
]

/**
 * Which ring, if the surgeon uses one: both of its sizes named. In a long eye the larger one; above 28 mm a rule of
 * thumb, from memory, names the next larger. The bag is not sized from white-to-white.
 */
export function capsularRingFigure(input: SurgeryInput): SurgeryStatement {
  const base = { id: CAPSULAR_RING.id, about: CAPSULAR_RING.about, step: 'lens', source: CAPSULAR_RING.source } as const
  const { axialLengthMm: length, zonularLossClockHours } = input
  const beyond =
    zonularLossClockHours !== undefined && zonularLossClockHours >= 4
      ? '. Zonular loss of 4 clock hours or more: a plain ring is not enough, plan a sutured ring or segments'
      : ''
  if (length === undefined) {
    return { ...base, words: `Ring, if one is used: size not chosen, axial length not stated${beyond}`, values: [] }
  }
  const outside = firstOutside({ 'axial length': length }, { 'axial length': { low: 14, high: 40, unit: 'mm' } })
  if (outside) return { ...base, words: `Ring: ${outside.reason}`, values: [], outOfRange: outside.reason }

  const never = 'not routine; never with a radial tear or a rupture'
  if (length < 24) {
    return {
      ...base,
      words: `Ring, if one is used: ${ringInWords(RING_SIZES.small)} (common practice); ${never}${beyond}`,
      values: valuesOf(RING_SIZES.small, 'ring'),
    }
  }
  const next =
    length > 28 ? `; above 28 mm a rule of thumb from memory names the next larger, ${ringInWords(RING_SIZES.largest)}` : ''
  const long = length >= 26 ? 'the larger one, ' : ''
  return {
    ...base,
    words: `Ring, if one is used: ${long}${ringInWords(RING_SIZES.larger)} (common practice)${next}; in doubt the larger; ${never}${beyond}`,
    values: [...valuesOf(RING_SIZES.larger, 'ring'), ...(length > 28 ? valuesOf(RING_SIZES.largest, 'next larger ring') : [])],
  }
}
