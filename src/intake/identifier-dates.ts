import { dateAt, daysBetween, monthNamed } from './calendar.js'
import { MOST_SUSPECTS, type Suspect } from './suspect.js'
import type { Token } from './tokens.js'

const BIRTH = new Set(['dob', 'born', 'birth', 'birthday', 'birthdate', 'geb', 'geboren', 'née', 'yob'])
const YEAR = /^(?:19|20)\d\d$/
/** Words that name a date as one of the work. "planned for 3 December 2026" is one; a bare date is not. */
const OF_THE_WORK = new Set([
  'surgery',
  'op',
  'operation',
  'operate',
  'list',
  'listed',
  'theatre',
  'date',
  'planned',
  'biometry',
  'scan',
  'scanned',
  'measured',
  'review',
  'clinic',
  'dos',
  'due',
  'next',
  'pre-assessment',
  'preop',
  'b-scan',
  'oct',
  'injection',
  'injections',
  'vitrectomy',
  'ppv',
  'phaco',
  'done',
  'seen',
  'laser',
  'yag',
  'slot',
  'topography',
  'specular',
  'refraction',
  'booked',
  'scheduled',
])
const LOOK_BACK = 5
const TWO_YEARS = 731

/** "d.o.b." in its parts, or a word for birth. */
function birthWordAt(tokens: readonly Token[], at: number): number {
  const token = tokens[at]
  if (token === undefined) return 0
  if (BIRTH.has(token.lower)) return 1
  const [dot, o, stop, b] = [tokens[at + 1], tokens[at + 2], tokens[at + 3], tokens[at + 4]]
  return token.lower === 'd' && dot?.text === '.' && o?.lower === 'o' && stop?.text === '.' && b?.lower === 'b' ? 5 : 0
}

/** "b. 1961", and a year before the word, as in "July 1949 born". */
function bornIn(tokens: readonly Token[], at: number): boolean {
  const token = tokens[at] as Token
  if (token.lower === 'b') {
    const year = tokens[at + 1]?.text === '.' ? tokens[at + 2] : tokens[at + 1]
    return year?.line === token.line && YEAR.test(year.text) && year.gap <= 1
  }
  return (
    BIRTH.has(token.lower) && tokens.slice(Math.max(0, at - 2), at).some((one) => one.line === token.line && YEAR.test(one.text))
  )
}

/** "12 Mar 61": a day, a month by name and two figures that no unit or sex follows. Answers how many tokens it takes, or 0. */
function shortYear(tokens: readonly Token[], at: number): number {
  const day = tokens[at] as Token
  if (day.kind !== 'number' || !/^\d{1,2}$/.test(day.text) || Number(day.text) < 1 || Number(day.text) > 31) return 0
  const over = (next: number, texts: readonly string[]): number => next + (texts.includes(tokens[next]?.lower ?? '') ? 1 : 0)
  const month = over(at + 1, ['-', '/', '.', 'st', 'nd', 'rd', 'th'])
  const year = over(month + 1, ['-', '/', '.', ',', "'"])
  const [name, last, after] = [tokens[month], tokens[year], tokens[year + 1]]
  if (name?.kind !== 'word' || monthNamed(name.lower) === 0 || last?.line !== day.line || !/^\d\d$/.test(last.text)) return 0
  const goesOn =
    after?.line === day.line && after.kind === 'word' && (after.gap === 0 || /^(?:m|f|yo|y|yrs?|years?)$/.test(after.lower))
  return goesOn ? 0 : year - at + 1
}

const namesWork = (tokens: readonly Token[], at: number): boolean => {
  const line = tokens[at]?.line
  for (let back = 1; back <= LOOK_BACK; back += 1) {
    const token = tokens[at - back]
    if (token === undefined || token.line !== line) return false
    if (token.text === ';') return false
    if (OF_THE_WORK.has(token.lower)) return true
  }
  return false
}

/** Dates of birth: named so, or any full date that is not named as one of the work and close to today. */
export function datesOfBirthIn(tokens: readonly Token[], today: string): readonly Suspect[] {
  const found: Suspect[] = []
  for (let at = 0; at < tokens.length && found.length < MOST_SUSPECTS; at += 1) {
    const token = tokens[at] as Token
    if (bornIn(tokens, at)) {
      found.push({ kind: 'date-of-birth', token })
      continue
    }
    const used = birthWordAt(tokens, at)
    if (used > 0) {
      const ahead = tokens.slice(at + used, at + used + 5)
      const last = ahead.find((next) => next.line === token.line && (next.kind === 'date' || next.kind === 'number'))
      if (last !== undefined) found.push({ kind: 'date-of-birth', token, last })
      continue
    }
    const short = shortYear(tokens, at)
    if (short > 0) {
      if (!namesWork(tokens, at)) found.push({ kind: 'date-of-birth', token })
      at += short - 1
      continue
    }
    if (token.kind === 'word' && !/^[a-z]{3,9}$/i.test(token.text)) continue
    if (token.kind === 'symbol') continue
    const date = dateAt(tokens.slice(at, at + 8), 0, undefined)
    if (date === undefined) continue
    const near = Math.abs(daysBetween(date.iso, today)) <= TWO_YEARS
    if (!(near && namesWork(tokens, at))) found.push({ kind: 'date-of-birth', token })
    at += date.used - 1
  }
  return found
}
