/** The grading scales a message may name. `plus` is the clinical 1+ to 4+ shorthand, which has no photographs behind it. */
export const NUCLEAR_SCALES = ['locs-iii-no', 'locs-iii-nc', 'emery', 'buratto', 'plus', 'bcn-10', 'who', 'colour'] as const
export type NuclearScale = (typeof NUCLEAR_SCALES)[number]

/** Softest first. The bands are a project convention: an approximate cross-walk between scales, not validated. */
export const DENSITY_BANDS = ['soft', 'mild', 'medium', 'hard', 'very-hard', 'black'] as const
export type DensityBand = (typeof DENSITY_BANDS)[number]
