/** The grading scales a message may name. `plus` is the clinical 1+ to 4+ shorthand, which has no photographs behind it. */
export const NUCLEAR_SCALES = ['locs-iii-no', 'locs-iii-nc', 'emery', 'buratto', 'plus', 'bcn-10', 'who', 'colour'] as const
export type NuclearScale = (typeof NUCLEAR_SCALES)[number]

/** Softest first. The bands are a project convention: an approximate cross-walk between scales, not validated. */
export const DENSITY_BANDS = ['soft', 'mild', 'medium', 'hard', 'very-hard', 'black'] as const
export type DensityBand = (typeof DENSITY_BANDS)[number]

/** Each scale as a reader knows it, and the lowest and highest grade it has. Colour words have no numbers. */
export const SCALE_NAMES: Readonly<Record<NuclearScale, string>> = {
  'locs-iii-no': 'LOCS III NO',
  'locs-iii-nc': 'LOCS III NC',
  emery: 'Emery',
  buratto: 'Buratto',
  plus: 'NS',
  'bcn-10': 'BCN',
  who: 'WHO',
  colour: 'colour',
}

type NumberedScale = Exclude<NuclearScale, 'colour'>

export const GRADE_RANGES: Readonly<Record<NumberedScale, { readonly low: number; readonly high: number }>> = {
  'locs-iii-no': { low: 0.1, high: 6.9 },
  'locs-iii-nc': { low: 0.1, high: 6.9 },
  emery: { low: 1, high: 5 },
  buratto: { low: 1, high: 5 },
  plus: { low: 0.5, high: 4 },
  'bcn-10': { low: 0, high: 10 },
  who: { low: 0, high: 3 },
}

/** The first grade that no longer belongs to the band, softest band first; the last band has no end. */
type BandEnds = readonly [mild: number, medium: number, hard: number, veryHard: number, black: number]

// Where the cross-walk leaves a grade between two bands, the denser one is taken, with one exception:
// - Emery and Buratto IV alone are hard, IV to V is very hard; V is described as rock hard, brown or black, so it is black.
// - 4+ is very hard: the shorthand becomes black only through the colour word said beside it.
// - WHO 3 is the top of a four-step scale and covers hard to black; it is taken as very hard, the middle of the three,
//   which still counts as dense.
const LOCS: BandEnds = [2, 3, 4, 5, 6]
const ROMAN: BandEnds = [2, 3, 4, 4.5, 5]
const BAND_ENDS: Readonly<Record<NumberedScale, BandEnds>> = {
  'locs-iii-no': LOCS,
  'locs-iii-nc': LOCS,
  emery: ROMAN,
  buratto: ROMAN,
  plus: [1.5, 2, 3, 4, Number.POSITIVE_INFINITY],
  'bcn-10': [2, 4, 6, 7, 9],
  who: [1, 2, 3, 3, Number.POSITIVE_INFINITY],
}

/** Colour words and the band each is taken for. */
const COLOUR_BANDS: Readonly<Record<string, DensityBand>> = {
  clear: 'soft',
  grey: 'soft',
  'grey-yellow': 'mild',
  'pale yellow': 'mild',
  yellow: 'medium',
  amber: 'hard',
  brown: 'very-hard',
  brunescent: 'very-hard',
  rubra: 'very-hard',
  'dark brown': 'black',
  black: 'black',
  nigra: 'black',
  'rock hard': 'black',
}

export const COLOUR_WORDS: readonly string[] = Object.keys(COLOUR_BANDS)

/**
 * The project's band of a nuclear grade, from an approximate cross-walk that is a convention and not validated.
 * @param scale the scale the grade was given on
 * @param grade the grade on that scale: a number within `GRADE_RANGES`, or for `colour` one of `COLOUR_WORDS`
 * @returns the band, or undefined where the scale has no such grade
 */
export function densityBand(scale: NuclearScale, grade: number | string): DensityBand | undefined {
  if (scale === 'colour') return typeof grade === 'string' ? COLOUR_BANDS[grade] : undefined
  if (typeof grade !== 'number') return undefined
  const { low, high } = GRADE_RANGES[scale]
  if (!(grade >= low && grade <= high)) return undefined
  const passed = BAND_ENDS[scale].filter((end) => grade >= end).length
  return DENSITY_BANDS[passed]
}

/** Whether the precautions for a dense nucleus apply: very hard or black. */
export const isDense = (band: DensityBand): boolean => band === 'very-hard' || band === 'black'
