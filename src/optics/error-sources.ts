import type { PublishedModel } from '../terms/published-model.js'
import type { Source } from '../terms/source.js'
import { type Dioptres, dioptres, type Millimetres, mm } from '../terms/units.js'

/** A standard uncertainty as published, with where it comes from. */
export interface PublishedUncertainty {
  readonly value: number
  readonly unit: 'mm' | 'D'
  readonly source: Source
}

/** How the axial length was measured, as far as its error goes. */
export type LengthMethod = 'optical' | 'immersion' | 'contact' | 'ultrasound'

const REPEATABILITY: Source = {
  cite: 'Langenbucher A et al. Repeatability of biometric measures. PLoS One 2025;20(5):e0321786 (266 eyes, one optical biometer)',
  year: 2025,
  sureness: 'read',
}
const CONTACT: Source = {
  cite: 'Cass K et al. Br J Ophthalmol 2002;86:344-349 (95 % limits 0.44 mm within one sitting)',
  year: 2002,
  sureness: 'derived',
}
/** Within one sitting the readings spread by 0.03 mm; velocity and alignment, which they share, come on top. */
const IMMERSION: Source = {
  cite: 'immersion ultrasound, usual figure; the spread within one sitting alone is 0.03 mm (Ademola-Popoola DS et al. J Curr Ophthalmol 2016;27:110-114, 92 eyes)',
  sureness: 'convention',
}
const NORRBY: Source = {
  cite: 'Norrby S. Sources of error in intraocular lens power calculation. J Cataract Refract Surg 2008;34:368-376',
  year: 2008,
  sureness: 'derived',
}

/** Standard uncertainty of one axial length, mm. The optical one grows with length by an amount that was not published. */
export const LENGTH_UNCERTAINTY: Readonly<Record<LengthMethod | 'not-stated', PublishedUncertainty>> = {
  optical: { value: 0.0177, unit: 'mm', source: REPEATABILITY },
  immersion: { value: 0.1, unit: 'mm', source: IMMERSION },
  contact: { value: 0.2, unit: 'mm', source: CONTACT },
  /** Not said which: taken as the worse. */
  ultrasound: { value: 0.2, unit: 'mm', source: CONTACT },
  /** Not said at all: never taken for the surer one. */
  'not-stated': { value: 0.2, unit: 'mm', source: CONTACT },
}

/** Where the eye bulges the length depends on where the eye looks; this project's own widening, beside the instrument's. */
export const STAPHYLOMA_UNCERTAINTY: PublishedUncertainty = {
  value: 0.2,
  unit: 'mm',
  source: { cite: 'widening for a posterior staphyloma or poor fixation', sureness: 'convention' },
}

export const KERATOMETRY_UNCERTAINTY: PublishedUncertainty = { value: 0.18, unit: 'D', source: REPEATABILITY }
export const CHAMBER_DEPTH_UNCERTAINTY: PublishedUncertainty = { value: 0.0247, unit: 'mm', source: REPEATABILITY }

/** 35 % of the variance behind a mean absolute error of 0.6 D, at 1.46 D per mm. */
export const LENS_POSITION_UNCERTAINTY: PublishedUncertainty = { value: 0.3, unit: 'mm', source: NORRBY }

/** 27 % of that variance. */
export const REFRACTION_UNCERTAINTY: PublishedUncertainty = { value: 0.39, unit: 'D', source: NORRBY }

const LABEL: Source = {
  cite: 'ISO 11979-2:2014, tolerance of the labelled power, as a rectangular distribution',
  year: 2014,
  sureness: 'memory',
}
const TOLERANCES = [
  { to: 15, tolerance: 0.3 },
  { to: 25, tolerance: 0.4 },
  { to: 30, tolerance: 0.5 },
  { to: Number.POSITIVE_INFINITY, tolerance: 1 },
]

/**
 * Standard uncertainty of a labelled lens power.
 *
 * - Domain: any power; by its size, whatever its sign.
 * - Source: ISO 11979-2:2014 tolerances (0.3 D to 15 D, 0.4 to 25, 0.5 to 30, 1.0 above), divided by the root of three.
 *
 * @example
 * ```ts
 * lensPowerUncertainty(dioptres(-4)).value // => 0.173205
 * ```
 * @param power dioptres, signed
 */
export function lensPowerUncertainty(power: Dioptres): PublishedUncertainty {
  const size = Math.abs(power)
  const tolerance = TOLERANCES.find(({ to }) => size <= to)?.tolerance ?? Number.NaN
  return { value: tolerance / Math.sqrt(3), unit: 'D', source: LABEL }
}

/** A known tendency, apart from chance. Positive: the eye ends more hyperopic than predicted. */
export interface LengthBias {
  readonly words: string
  readonly bias: Dioptres
  readonly source: Source
}

/**
 * What using a length of another kind than the constants were made for does to the refraction, or would do where nobody said
 * for which kind they were made.
 *
 * - Domain: ultrasound lengths used with constants for optical lengths.
 * - Source: Hitzenberger CK et al. Invest Ophthalmol Vis Sci 1993 (196 cataract eyes): optical lengths exceed immersion by
 *   0.18 mm and contact by 0.47 mm.
 *
 * @param method how the length was measured
 * @param perLength dioptres per mm of measured length, from `sensitivitiesOf`
 * @param constantsFor what the constants were made for
 * @returns undefined when there is nothing to say
 */
export function ultrasoundBias(
  method: LengthMethod,
  perLength: number,
  constantsFor: 'optical' | 'ultrasound' | 'not-stated',
): LengthBias | undefined {
  if (method === 'optical' || constantsFor === 'ultrasound') return undefined
  const short = method === 'immersion' ? 0.18 : 0.47
  const unsaid = constantsFor === 'not-stated' ? 'if the constants are for optical lengths, which nobody said: ' : ''
  return {
    words: `${unsaid}an ultrasound length used with constants for optical lengths is short by about ${short} mm: the lens comes out too strong and the eye myopic`,
    bias: dioptres(short * perLength),
    source: { cite: 'Hitzenberger CK et al. Invest Ophthalmol Vis Sci 1993', year: 1993, sureness: 'read' },
  }
}

/**
 * What measuring a long eye with one index for all of it does to the refraction, when no length adjustment is used.
 *
 * - Domain: optical lengths of the group-index kind.
 * - Source: the difference to the sum of segments, Cooke DL, Cooke TL. J Cataract Refract Surg 2019;45:351-354.
 *
 * @param measured mm
 * @param segments mm, from `axialLengthCooke`
 * @param perLength dioptres per mm of measured length, from `sensitivitiesOf`
 */
export const groupIndexBias = (measured: Millimetres, segments: Millimetres, perLength: number): LengthBias => ({
  words: `an optical length with one index for the whole eye is about ${mm(measured - segments).toFixed(2)} mm longer here than the sum of its segments: the eye tends to end hyperopic`,
  bias: dioptres(-(measured - segments) * perLength),
  source: { cite: 'Cooke DL, Cooke TL. J Cataract Refract Surg 2019;45:351-354', year: 2019, sureness: 'memory' },
})

const listed: readonly (readonly [string, PublishedUncertainty])[] = [
  ['axial length, optical', LENGTH_UNCERTAINTY.optical],
  ['axial length, immersion ultrasound', LENGTH_UNCERTAINTY.immersion],
  ['axial length, contact ultrasound', LENGTH_UNCERTAINTY.contact],
  ['axial length in a staphyloma, added', STAPHYLOMA_UNCERTAINTY],
  ['keratometry', KERATOMETRY_UNCERTAINTY],
  ['anterior chamber depth', CHAMBER_DEPTH_UNCERTAINTY],
  ['lens position', LENS_POSITION_UNCERTAINTY],
  ['refraction after surgery', REFRACTION_UNCERTAINTY],
]

/** The standard uncertainties and tolerances, with their sources. */
export const errorSourceModel: PublishedModel = {
  id: 'error-budget',
  about: 'uncertainty of the predicted refraction',
  model: 'first-order error budget',
  population: 'eyes of average length; each number names its own source',
  years: '1993 to 2025',
  source: { cite: 'JCGM 100:2008 (GUM)', year: 2008, sureness: 'memory' },
  coefficients: [
    ...listed.map(([name, { value, unit, source }]) => ({ name, value, unit, sureness: source.sureness, note: source.cite })),
    ...TOLERANCES.map(({ to, tolerance }) => ({
      name: Number.isFinite(to) ? `labelled power, tolerance to ${to} D` : 'labelled power, tolerance above 30 D',
      value: tolerance,
      unit: 'D',
      sureness: LABEL.sureness,
      note: LABEL.cite,
    })),
  ],
}
