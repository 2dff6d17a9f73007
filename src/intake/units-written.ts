import { matchAt, phrases } from './phrases.js'
import { type Place, tokenAt } from './reading.js'

export type WrittenUnit =
  | 'mm'
  | 'cm'
  | 'µm'
  | 'D'
  | 'mmHg'
  | 'cells/mm²'
  | 'kg'
  | '°'
  | 'months'
  | 'weeks'
  | 'days'
  | 'clock hours'
  | 'years'
  | 'dB'
  | 'cmH2O'

const forms: Readonly<Record<WrittenUnit, readonly string[]>> = {
  mm: ['mm', 'millimetres', 'millimeters', 'mms'],
  cm: ['cm', 'cms', 'centimetres'],
  µm: ['µm', 'um', 'micron', 'microns', 'micrometres', 'micrometers', 'mcm', 'µ'],
  D: ['d', 'dioptre', 'dioptres', 'diopter', 'diopters', 'ds', 'dpt'],
  mmHg: ['mmhg', 'mm hg'],
  cmH2O: ['cmh2o', 'cm h2o', 'cm water'],
  'cells/mm²': [
    'cells/mm2',
    'cells / mm2',
    '/mm2',
    'cells per mm2',
    'cells per square mm',
    'cells',
    'c/mm2',
    'per mm2',
    '/ mm2',
    'cells/sqmm',
    'cells/sq mm',
    '/sq mm',
  ],
  kg: ['kg', 'kgs', 'kilos', 'kilograms'],
  '°': ['°', 'deg', 'degrees', 'degree', 'degs'],
  months: ['months', 'month', 'mo', 'mths', 'mth', 'months old', 'month old', 'months ago', 'month ago'],
  weeks: ['weeks', 'week', 'wk', 'wks', 'weeks old', 'week old', 'weeks ago', 'week ago'],
  days: ['days', 'day', 'days old', 'day old', 'days ago', 'day ago'],
  years: ['years', 'year', 'years old', 'year old', 'years ago', 'year ago', 'yr ago', 'yrs ago'],
  'clock hours': ['clock hours', 'clock hour', 'h', 'hours'],
  dB: ['db'],
}

export const UNIT_FORMS = phrases(
  Object.entries(forms).flatMap(([unit, written]) => written.map((form) => [form, unit as WrittenUnit] as const)),
)

export interface UnitFound {
  readonly unit: WrittenUnit
  readonly used: number
}

/** A unit at this place, bare or in brackets: "mm", "[mm]", "(D)". */
export function unitAt(place: Place, offset: number): UnitFound | undefined {
  const opening = tokenAt(place, offset)?.text
  const bracketed = opening === '[' || opening === '('
  const from = offset + (bracketed ? 1 : 0)
  const match = matchAt(UNIT_FORMS, place.tokens, place.at + from)
  if (match === undefined || place.at + from + match.used > place.end) return undefined
  if (!bracketed) return { unit: match.value, used: match.used }
  const closing = tokenAt(place, from + match.used)?.text
  return closing === ']' || closing === ')' ? { unit: match.value, used: match.used + 2 } : undefined
}

/** What a number in the first unit is multiplied by to be in the second; the table holds only what is ever converted. */
const FACTORS: Readonly<Record<string, number>> = {
  'cm>mm': 10,
  'µm>mm': 0.001,
  'mm>µm': 1000,
  'mm>cm': 0.1,
  'weeks>months': 12 / 52.1775,
  'days>months': 12 / 365.2425,
  'years>months': 12,
  'cmH2O>mmHg': 0.73556,
  '°>clock hours': 1 / 30,
}

export function conversion(from: WrittenUnit, to: string): number | undefined {
  if (from === to || (to === '' && from === 'dB')) return 1
  return FACTORS[`${from}>${to}`]
}
