import type { Range } from '../terms/outcome.js'

/** Plausible ranges of what the risk models are fed; a value outside is refused with its reason. Bounds are convention. */
export const AGE_DOMAIN: Range = { low: 18, high: 110, unit: 'years' }
export const AXIAL_LENGTH_DOMAIN: Range = { low: 14, high: 40, unit: 'mm' }
export const CHAMBER_DEPTH_DOMAIN: Range = { low: 0.5, high: 7, unit: 'mm' }
export const PUPIL_DOMAIN: Range = { low: 0.5, high: 11, unit: 'mm' }
export const REFRACTION_DOMAIN: Range = { low: -50, high: 30, unit: 'D' }
export const PRESSURE_DOMAIN: Range = { low: 0, high: 80, unit: 'mmHg' }
export const INCISION_DOMAIN: Range = { low: 1, high: 14, unit: 'mm' }
