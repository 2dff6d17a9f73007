import { CORNEAL_POWER, QUANTITIES, type QuantityName } from '../terms/quantities.js'
import type { NumberFact } from './features.js'

/** A fact by which people can search with a range: what they may call it, and in which unit. */
export interface Searchable {
  readonly fact: NumberFact
  /** As it is named in messages. */
  readonly short: string
  readonly unit: string
  /** Beyond these a number is a slip: of the unit, or of the decimal point. */
  readonly low: number
  readonly high: number
}

/** What a unit may be written as after a number; lower case. */
const UNITS: Readonly<Record<string, readonly string[]>> = {
  mm: ['mm'],
  µm: ['µm', 'μm', 'um', 'micron', 'microns'],
  D: ['d', 'ds', 'dpt', 'dioptre', 'dioptres', 'diopters'],
  mmHg: ['mmhg'],
  'cells/mm²': ['cells/mm²', 'cells/mm2', '/mm²', '/mm2', 'cells'],
  years: ['years', 'year', 'y', 'yrs'],
}

export const isUnitOf = ({ unit }: Searchable, written: string): boolean => (UNITS[unit] ?? []).includes(written.toLowerCase())

type Measured = NumberFact & QuantityName

const MEASURED: readonly Measured[] = [
  'axialLengthMm',
  'anteriorChamberDepthMm',
  'lensThicknessMm',
  'centralCornealThicknessUm',
  'whiteToWhiteMm',
  'pupilDilatedMm',
  'endothelialCellDensityPerMm2',
  'intraocularPressureMmHg',
]

const measured = MEASURED.map((fact): readonly [Searchable, readonly string[]] => {
  const { short, unit, low, high, written } = QUANTITIES[fact]
  return [{ fact, short, unit, low: low / 2, high: high * 2 }, written]
})

const others: readonly (readonly [Searchable, readonly string[]])[] = [
  [
    { fact: 'meanKeratometryD', short: 'K', unit: 'D', low: CORNEAL_POWER.low / 2, high: CORNEAL_POWER.high * 2 },
    ['k', 'mean k', 'average k', 'keratometry', 'corneal power'],
  ],
  [{ fact: 'ageYears', short: 'age', unit: 'years', low: 0, high: 130 }, ['age', 'aged']],
  [{ fact: 'targetRefractionD', short: 'target', unit: 'D', low: -20, high: 20 }, ['target', 'target refraction']],
  [
    { fact: 'recommendedPowerD', short: 'lens', unit: 'D', low: -40, high: 80 },
    ['lens', 'lens power', 'power', 'recommended lens'],
  ],
]

const BY_NAME: ReadonlyMap<string, Searchable> = new Map(
  [...measured, ...others].flatMap(([searchable, names]) => names.map((name) => [name, searchable] as const)),
)

/** A name has at most this many words. */
export const LONGEST_NAME = Math.max(...[...BY_NAME.keys()].map((name) => name.split(' ').length))

export const searchableNamed = (name: string): Searchable | undefined => BY_NAME.get(name.toLowerCase())

/** The short names, for messages: "AL, ACD, LT". */
export const SEARCHABLE_NAMES: readonly string[] = [...measured, ...others].map(([{ short }]) => short)
