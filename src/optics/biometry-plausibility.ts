import type { Source } from '../terms/source.js'
import type { Dioptres, Millimetres } from '../terms/units.js'
import type { LengthMethod } from './error-sources.js'
import { KERATOMETRIC_INDEX } from './keratometry.js'

/** A set of biometry. What is absent is unknown. */
export interface Biometry {
  readonly axialLength?: Millimetres | undefined
  readonly keratometry?: Dioptres | undefined
  /** Steep less flat keratometry. */
  readonly cornealAstigmatism?: Dioptres | undefined
  readonly fellowAxialLength?: Millimetres | undefined
  readonly fellowKeratometry?: Dioptres | undefined
  readonly method?: LengthMethod | undefined
  readonly opticalFailed?: boolean | undefined
  /** A brown or white lens, which light may not cross. */
  readonly denseLens?: boolean | undefined
  readonly anteriorChamberDepthFrom?: 'epithelium' | 'endothelium' | undefined
  readonly keratometricIndex?: number | undefined
  readonly ageMonths?: number | undefined
}

export interface PlausibilityFinding {
  readonly id: string
  /** `confirm` asks for a second look, and blocks nothing. `unknown` names what was not given. */
  readonly finding: 'confirm' | 'within' | 'unknown'
  readonly words: string
  readonly source: Source
}

const NATIONAL: Source = {
  cite: 'Royal College of Ophthalmologists, Cataract Surgery Guidelines, September 2010, biometry (a related abstract prints 21.30 mm for 21.20)',
  year: 2010,
  sureness: 'memory',
}
const SCREENING: Source = {
  cite: 'Holladay, screening criteria for biometry, as summarised in teaching notes',
  sureness: 'secondary',
}
const INTEROCULAR: Source = {
  cite: 'Interocular axial length difference and age-related cataract. J Cataract Refract Surg 2008 (PubMed 18165085; 1,379 patients, abstract)',
  year: 2008,
  sureness: 'read',
}
const DENSITY: Source = { cite: 'An Y et al. BMC Ophthalmol 2019;19:30', year: 2019, sureness: 'read' }
const AGE: Source = { cite: 'Rufai SR et al., cohort, as cited in a journal review', sureness: 'secondary' }
const DEFINITION: Source = { cite: 'definitions of the depth and of the keratometric index', sureness: 'convention' }

interface Limit {
  readonly id: string
  readonly label: string
  readonly unit: string
  readonly value: (biometry: Biometry) => number | undefined
  readonly low: number
  readonly high: number
  readonly source: Source
}

const difference = (one: number | undefined, other: number | undefined): number | undefined =>
  one === undefined || other === undefined ? undefined : Math.abs(one - other)

const NONE = Number.NEGATIVE_INFINITY

/** The recheck limits, as data. */
export const RECHECK_LIMITS: readonly Limit[] = [
  {
    id: 'national-axial-length',
    label: 'axial length',
    unit: 'mm',
    value: ({ axialLength }) => axialLength,
    low: 21.2,
    high: 26.6,
    source: NATIONAL,
  },
  {
    id: 'national-keratometry',
    label: 'mean keratometry',
    unit: 'D',
    value: ({ keratometry }) => keratometry,
    low: 41,
    high: 47,
    source: NATIONAL,
  },
  {
    id: 'national-astigmatism',
    label: 'difference of the keratometries',
    unit: 'D',
    value: ({ cornealAstigmatism }) => cornealAstigmatism,
    low: NONE,
    high: 2.5,
    source: NATIONAL,
  },
  {
    id: 'national-length-between-eyes',
    label: 'difference of axial length between the eyes',
    unit: 'mm',
    value: ({ axialLength, fellowAxialLength }) => difference(axialLength, fellowAxialLength),
    low: NONE,
    high: 0.7,
    source: NATIONAL,
  },
  {
    id: 'national-keratometry-between-eyes',
    label: 'difference of mean keratometry between the eyes',
    unit: 'D',
    value: ({ keratometry, fellowKeratometry }) => difference(keratometry, fellowKeratometry),
    low: NONE,
    high: 0.9,
    source: NATIONAL,
  },
  {
    id: 'screening-axial-length',
    label: 'axial length',
    unit: 'mm',
    value: ({ axialLength }) => axialLength,
    low: 22,
    high: 25,
    source: SCREENING,
  },
  {
    id: 'screening-keratometry',
    label: 'mean keratometry',
    unit: 'D',
    value: ({ keratometry }) => keratometry,
    low: 40,
    high: 47,
    source: SCREENING,
  },
  {
    id: 'screening-length-between-eyes',
    label: 'difference of axial length between the eyes',
    unit: 'mm',
    value: ({ axialLength, fellowAxialLength }) => difference(axialLength, fellowAxialLength),
    low: NONE,
    high: 0.3,
    source: SCREENING,
  },
  {
    id: 'screening-keratometry-between-eyes',
    label: 'difference of mean keratometry between the eyes',
    unit: 'D',
    value: ({ keratometry, fellowKeratometry }) => difference(keratometry, fellowKeratometry),
    low: NONE,
    high: 1,
    source: SCREENING,
  },
  {
    id: 'age-of-biometry',
    label: 'age of the biometry',
    unit: 'months',
    value: ({ ageMonths }) => ageMonths,
    low: NONE,
    high: 24,
    source: AGE,
  },
]

/** From this length the difference between the eyes is wide in health too: 4.0 mm at the 95th centile. */
const LONG_FROM = 28
const LONG_DIFFERENCE = 4
/** From this length a measurement is asked to be confirmed on a second machine or by a second look. */
const CONFIRM_FROM = 26.6

function heldAgainst(limit: Limit, biometry: Biometry): PlausibilityFinding {
  const { id, label, unit, low, high, source } = limit
  const value = limit.value(biometry)
  if (value === undefined || Number.isNaN(value)) {
    return { id, finding: 'unknown', words: `${label} cannot be checked: a measurement for it was not given`, source }
  }
  const range = low === NONE ? `at most ${high} ${unit}` : `${low} to ${high} ${unit}`
  // A difference of two readings carries binary dust past the limit.
  const given = Math.round(value * 1000) / 1000
  const within = given >= low && given <= high
  const words = within
    ? `${label} ${given.toFixed(2)} ${unit}, within ${range}`
    : `${label} ${given.toFixed(2)} ${unit} is outside ${range}: measure it again before relying on it`
  return { id, finding: within ? 'within' : 'confirm', words, source }
}

function longEye({ axialLength }: Biometry): readonly PlausibilityFinding[] {
  if (axialLength === undefined || axialLength <= CONFIRM_FROM) return []
  const words =
    'a long eye: confirm the length by a second measurement, by another method if there is one, look for a staphyloma by B-scan, and compare with the fellow eye and the history of spectacles'
  return [{ id: 'long-eye', finding: 'confirm', words, source: NATIONAL }]
}

function longFellow({ axialLength, fellowAxialLength }: Biometry): readonly PlausibilityFinding[] {
  const between = difference(axialLength, fellowAxialLength)
  if (between === undefined || axialLength === undefined || fellowAxialLength === undefined) return []
  if (Math.max(axialLength, fellowAxialLength) < LONG_FROM || between <= 0.3) return []
  const usual = between <= LONG_DIFFERENCE
  return [
    {
      id: 'long-eyes-differ',
      finding: usual ? 'within' : 'confirm',
      words: `where the longer eye has ${LONG_FROM} mm or more, the eyes of one person differ by up to ${LONG_DIFFERENCE.toFixed(1)} mm in 95 of 100: ${between.toFixed(2)} mm is ${usual ? 'not unusual' : 'unusual even there'}`,
      source: INTEROCULAR,
    },
  ]
}

function methodAgainstLens({ method, denseLens, opticalFailed }: Biometry): readonly PlausibilityFinding[] {
  const id = 'method-against-lens'
  if (method === undefined) {
    const words = 'how the axial length was measured was not given: ultrasound and optical lengths need different constants'
    return [{ id, finding: 'unknown', words, source: DENSITY }]
  }
  if (method === 'optical') {
    if (denseLens !== true) return []
    const words =
      'an optical length through a dense lens: look at the signal and the spread of the readings (older instruments fail in 15 of 100 eyes of a cataract clinic, swept-source ones in 2)'
    return [{ id, finding: 'confirm', words, source: DENSITY }]
  }
  const why = opticalFailed === true ? ' since light did not pass' : ''
  const words = `an ultrasound length${why}: expect a wider error (mean 0.64 D in eyes that light could not measure), immersion rather than contact, and constants for ultrasound`
  return [{ id, finding: 'confirm', words, source: DENSITY }]
}

function definitions({ anteriorChamberDepthFrom, keratometricIndex }: Biometry): readonly PlausibilityFinding[] {
  const findings: PlausibilityFinding[] = []
  if (anteriorChamberDepthFrom === 'endothelium') {
    const words = 'the chamber depth was given from the endothelium: the corneal thickness must be added'
    findings.push({ id: 'depth-definition', finding: 'confirm', words, source: DEFINITION })
  }
  if (keratometricIndex !== undefined && keratometricIndex !== KERATOMETRIC_INDEX) {
    const words = `the keratometry was given at index ${keratometricIndex}, not ${KERATOMETRIC_INDEX}: it must be converted through the radius`
    findings.push({ id: 'keratometric-index', finding: 'confirm', words, source: DEFINITION })
  }
  return findings
}

/**
 * Holds a set of biometry against the published recheck limits and against itself. Asks for confirmation; blocks nothing.
 *
 * - Domain: any biometry; what is absent gives `unknown`, never `within`.
 * - Source: each finding carries its own.
 *
 * @param biometry lengths in mm, powers in dioptres at index 1.3375
 */
export const plausibilityOf = (biometry: Biometry): readonly PlausibilityFinding[] => [
  ...longEye(biometry),
  ...RECHECK_LIMITS.map((limit) => heldAgainst(limit, biometry)),
  ...longFellow(biometry),
  ...methodAgainstLens(biometry),
  ...definitions(biometry),
]
