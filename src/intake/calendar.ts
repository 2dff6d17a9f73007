import type { Token } from './tokens.js'

const MONTHS = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec']
const FULL = [
  'january',
  'february',
  'march',
  'april',
  'may',
  'june',
  'july',
  'august',
  'september',
  'october',
  'november',
  'december',
]

/** The month that a word names, 1 to 12, or 0. */
export function monthNamed(word: string): number {
  const full = FULL.indexOf(word)
  if (full >= 0) return full + 1
  if (word === 'sept') return 9
  return MONTHS.indexOf(word) + 1
}

export const MONTH_WORDS: readonly string[] = [...MONTHS, ...FULL, 'sept']

export interface CalendarDate {
  readonly iso: string
  /** How an order that could be read two ways was read. */
  readonly assumed?: string
  readonly used: number
}

const two = (value: number): string => String(value).padStart(2, '0')
const daysIn = (year: number, month: number): number => new Date(Date.UTC(year, month, 0)).getUTCDate()
const isoOf = (year: number, month: number, day: number): string | undefined =>
  year >= 1850 && year <= 2200 && month >= 1 && month <= 12 && day >= 1 && day <= daysIn(year, month)
    ? `${year}-${two(month)}-${two(day)}`
    : undefined

/** "3 December 2026". */
export function longDate(iso: string): string {
  const [year, month, day] = iso.split('-').map(Number)
  const name = FULL[(month ?? 1) - 1] ?? ''
  return `${day} ${name.charAt(0).toUpperCase()}${name.slice(1)} ${year}`
}

const withAssumed = (iso: string | undefined, used: number, assumed?: string): CalendarDate | undefined =>
  iso === undefined ? undefined : { iso, used, ...(assumed === undefined ? {} : { assumed }) }

function inFigures(text: string): CalendarDate | undefined {
  const parts = text.split(/[-/.]/)
  const numbers = parts.map(Number)
  const [one = 0, other = 0, last = 0] = numbers
  if ((parts[0] ?? '').length === 4) return withAssumed(isoOf(one, other, last), 1)
  const year = last < 100 ? 2000 + last : last
  const dayFirst = isoOf(year, other, one)
  if (dayFirst !== undefined)
    return withAssumed(dayFirst, 1, one <= 12 && one !== other ? `read day first: ${longDate(dayFirst)}` : undefined)
  const monthFirst = isoOf(year, one, other)
  return monthFirst === undefined ? undefined : withAssumed(monthFirst, 1, `read month first: ${longDate(monthFirst)}`)
}

const numberIn = (token: Token | undefined, high: number): number =>
  token?.kind === 'number' && /^\d{1,4}$/.test(token.text) && Number(token.text) <= high ? Number(token.text) : 0
const ORDINALS = new Set(['st', 'nd', 'rd', 'th'])

/** The year said after a day and month, or the next time that day comes. */
function yearOf(
  tokens: readonly Token[],
  at: number,
  month: number,
  day: number,
  today: string | undefined,
): { readonly year: number; readonly used: number; readonly assumed?: string } | undefined {
  const skip = tokens[at]?.text === ',' ? 1 : 0
  const year = numberIn(tokens[at + skip], 2200)
  if (year >= 1850) return { year, used: skip + 1 }
  if (today === undefined) return undefined
  const thisYear = Number(today.slice(0, 4))
  const next = `${thisYear}-${two(month)}-${two(day)}` >= today ? thisYear : thisYear + 1
  return { year: next, used: 0, assumed: 'the next such day taken' }
}

/**
 * The date that starts at this token, in figures or with a month's name.
 * @param today ISO date, to complete a date without a year; undefined refuses such a date
 */
export function dateAt(tokens: readonly Token[], at: number, today: string | undefined): CalendarDate | undefined {
  const token = tokens[at]
  if (token === undefined) return undefined
  if (token.kind === 'date') return inFigures(token.text)
  const dayFirst = numberIn(token, 31)
  if (dayFirst > 0) {
    let next = at + 1
    if (ORDINALS.has(tokens[next]?.lower ?? '')) next += 1
    while (['of', '-', '/'].includes(tokens[next]?.lower ?? '') && next < at + 4) next += 1
    const month = tokens[next]?.kind === 'word' ? monthNamed(tokens[next]?.lower ?? '') : 0
    if (month === 0) return undefined
    next += 1
    if (tokens[next]?.text === '.' || tokens[next]?.text === '-' || tokens[next]?.text === '/')
      next += numberIn(tokens[next + 1], 2200) >= 1850 ? 1 : 0
    const year = yearOf(tokens, next, month, dayFirst, today)
    return year === undefined ? undefined : withAssumed(isoOf(year.year, month, dayFirst), next - at + year.used, year.assumed)
  }
  const month = token.kind === 'word' ? monthNamed(token.lower) : 0
  const day = month === 0 ? 0 : numberIn(tokens[at + 1], 31)
  if (day === 0) return undefined
  const ordinal = ORDINALS.has(tokens[at + 2]?.lower ?? '') ? 1 : 0
  const year = yearOf(tokens, at + 2 + ordinal, month, day, today)
  return year === undefined ? undefined : withAssumed(isoOf(year.year, month, day), 2 + ordinal + year.used, year.assumed)
}

/** An ISO date some days after another. */
export const daysAfter = (iso: string, days: number): string =>
  new Date(Date.parse(`${iso}T00:00:00Z`) + days * 86_400_000).toISOString().slice(0, 10)

/** Whole days from one ISO date to another. */
export const daysBetween = (from: string, to: string): number =>
  Math.round((Date.parse(`${to}T00:00:00Z`) - Date.parse(`${from}T00:00:00Z`)) / 86_400_000)

const WEEKDAYS = ['sunday', 'monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday']

/** The weekday that a word names, 0 for Sunday; short forms of three letters or more count, except those that are words. */
export function weekdayNamed(word: string): number | undefined {
  if (word.length < 3 || word === 'sun' || word === 'sat' || word === 'wed') return undefined
  const day = WEEKDAYS.findIndex((name) => name.startsWith(word))
  return day < 0 ? undefined : day
}

/** The next such weekday after today, and whether today is one itself. */
export function nextWeekday(today: string, day: number): { readonly iso: string; readonly isToday: boolean } {
  const ahead = (day - new Date(`${today}T00:00:00Z`).getUTCDay() + 7) % 7
  return { iso: daysAfter(today, ahead === 0 ? 7 : ahead), isToday: ahead === 0 }
}
