import { dateAt, daysAfter, longDate } from '../intake/calendar.js'
import { tokenise } from '../intake/tokens.js'

const WEEKDAYS = ['sunday', 'monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday']
/** A day without a year that has just gone by would be read as next year's; so far ahead nobody means it. */
const NEXT_YEAR_DAYS = 300

const plainDay = (text: string): string =>
  text
    .trim()
    .replace(/[.!?,]+$/u, '')
    .replace(/\s+/gu, ' ')
    .toLowerCase()

const weekdayOf = (said: string): number =>
  WEEKDAYS.findIndex((name) => name === said || (said.length >= 3 && said.length <= 5 && name.startsWith(said)))

const ahead = (today: string, weekday: number): number => (weekday - new Date(`${today}T00:00:00Z`).getUTCDay() + 7) % 7 || 7

/** A day as people say it: ISO or with a month's name, today, tomorrow, or the next such weekday. */
export function dayNamed(text: string, today: string): string | undefined {
  const said = plainDay(text).replace(/^(?:on|this)\s+/u, '')
  if (said === 'today' || said === 'tonight') return today
  if (said === 'tomorrow') return daysAfter(today, 1)
  const weekday = weekdayOf(said)
  if (weekday >= 0) return daysAfter(today, ahead(today, weekday))
  const tokens = tokenise(said)
  const date = dateAt(tokens, 0, today)
  return date !== undefined && date.used === tokens.length ? date.iso : undefined
}

/** Words that were meant as a day, though they name none that can be told. */
export const meansADay = (text: string): boolean =>
  /\d/u.test(text) ||
  /\b(?:next|end of|early|late|mid)\b|\b(?:weeks?|weekend|months?|days?|asap|soon|morning|afternoon|evening|yesterday|noon)\b/iu.test(
    text,
  ) ||
  plainDay(text)
    .split(' ')
    .some((word) => weekdayOf(word) >= 0)

/**
 * Why something cannot stand until this day, and what to write; undefined for a day from today on.
 * @param before what the day is written after, such as "by"
 */
export function dayProblem(text: string, today: string, before: string): string | undefined {
  const day = dayNamed(text, today)
  const said = text.trim()
  const such = `${before} ${daysAfter(today, 2)}, ${before} ${shortDate(daysAfter(today, 2))}, ${before} Friday or ${before} tomorrow`
  if (day === undefined) {
    const weekday = weekdayOf(plainDay(text).replace(/^next\s+/u, ''))
    if (weekday < 0) return `“${said}” is not a day. Write it like: ${such}`
    const one = daysAfter(today, ahead(today, weekday))
    const other = daysAfter(one, 7)
    return `“${said}” may be ${longDate(one)} or ${longDate(other)}. Write the one you mean: ${before} ${one} or ${before} ${other}`
  }
  const gone = day < today || (!/\d{4}/u.test(said) && daysAfter(today, NEXT_YEAR_DAYS) < day)
  return gone ? `“${said}” is past: today is ${longDate(today)}. Write a day from today on, like: ${such}` : undefined
}

const shortDate = (iso: string): string => longDate(iso).replace(/ \d{4}$/u, '')
