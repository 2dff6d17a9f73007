import { dateAt, daysAfter, daysBetween, longDate, nextWeekday, weekdayNamed } from './calendar.js'
import { bridge, unknownMark } from './marks.js'
import { matchAt, phrases } from './phrases.js'
import { fact, type Place, type Reader, type Reading, tokenAt } from './reading.js'

const DATE_NAMES = [
  'surgery',
  'surgery date',
  'date of surgery',
  'op',
  'op date',
  'operation',
  'operation date',
  'date of operation',
  'list',
  'next list',
  'list date',
  'listed',
  'listed for',
  'listed on',
  'theatre',
  'theatre date',
  'date',
  'planned',
  'planned for',
  'on the list',
  'surgery on',
  'op on',
  'date of op',
  'surgery planned',
  'next theatre list',
  'dos',
  'my list',
  'due',
]
export const DATE_FORMS = phrases(DATE_NAMES.map((form) => [form, true] as const))
export const BIOMETRY_DATE_FORMS = phrases(
  [
    'biometry',
    'biometry date',
    'date of biometry',
    'biometry done',
    'biometry on',
    'scan date',
    'biometry from',
    'scanned',
    'measured',
    'measured on',
    'scan',
  ].map((form) => [form, true] as const),
)
const DAY_WORDS: Readonly<Record<string, number>> = { today: 0, tomorrow: 1, tmrw: 1, tomo: 1 }

function surgeryOn(iso: string, used: number, today: string, assumed: string | undefined): Reading {
  if (daysBetween(iso, today) > 0) {
    return {
      used,
      faults: [
        {
          kind: 'out-of-range',
          field: 'surgeryDate',
          blocks: false,
          message: `the date of surgery, ${longDate(iso)}, is in the past. It is not used.`,
          instead: 'surgery 2026-12-03, with the year first',
        },
      ],
    }
  }
  return { used, facts: [fact('surgeryDate', 'date of surgery', iso, longDate(iso), assumed)] }
}

const ambiguousDay = (used: number, message: string, instead: string): Reading => ({
  used,
  faults: [
    {
      kind: 'ambiguous',
      field: 'surgeryDate',
      blocks: false,
      message: `${message} It is kept as written and not used.`,
      instead,
    },
  ],
})

/** "Thursday", "on Thursday", "this Thursday": the next such day. "next Thursday", and the weekday of today, can be two days. */
function weekdayAt(place: Place, offset: number): Reading | undefined {
  const qualifier = ['this', 'next', 'coming'].includes(tokenAt(place, offset)?.lower ?? '') ? 1 : 0
  const day = weekdayNamed(tokenAt(place, offset + qualifier)?.lower ?? '')
  if (day === undefined) return undefined
  let used = offset + qualifier + 1
  if (tokenAt(place, used)?.text === "'" && tokenAt(place, used + 1)?.lower === 's') used += 2
  const { iso, isToday } = nextWeekday(place.today, day)
  const later = daysAfter(iso, 7)
  if (isToday || (qualifier === 1 && tokenAt(place, offset)?.lower === 'next')) {
    const [one, other] = isToday ? [place.today, iso] : [iso, later]
    return ambiguousDay(used, `this can be ${longDate(one)} or ${longDate(other)}.`, `surgery ${one}, or surgery ${other}`)
  }
  return surgeryOn(iso, used, place.today, `the next such day taken: ${longDate(iso)}`)
}

/** "in 2 weeks", "in 10 days", "in a week": counted from today, and said so; the day itself is not certain. */
function spanAt(place: Place, offset: number): Reading | undefined {
  if (tokenAt(place, offset)?.lower !== 'in') return undefined
  const count = tokenAt(place, offset + 1)
  const days = { day: 1, days: 1, week: 7, weeks: 7, wk: 7, wks: 7 }[tokenAt(place, offset + 2)?.lower ?? '']
  const many =
    count?.lower === 'a' ? 1 : count?.kind === 'number' && /^\d{1,3}$/.test(count.text) ? Number(count.text) : undefined
  if (days === undefined || many === undefined) return undefined
  const iso = daysAfter(place.today, many * days)
  return surgeryOn(iso, offset + 3, place.today, `counted from today: about ${longDate(iso)}`)
}

/** "Thursday list", "Thursday's list". */
function weekdayFirst(place: Place): Reading | undefined {
  const read = weekdayAt(place, 0)
  const list = read === undefined ? undefined : tokenAt(place, read.used)?.lower
  return read !== undefined && ['list', 'theatre', 'op', 'surgery'].includes(list ?? '')
    ? { ...read, used: read.used + 1 }
    : undefined
}

/** The day of surgery: "surgery 3 Dec 2026", "next list 03/12/2026", "op tomorrow", "list Thursday". How it was read is said. */
export const readSurgeryDate: Reader = (place) => {
  const lone = DAY_WORDS[tokenAt(place, 0)?.lower ?? '']
  if (lone !== undefined && lone > 0) return surgeryOn(daysAfter(place.today, lone), 1, place.today, 'counted from today')
  const name = matchAt(DATE_FORMS, place.tokens, place.at)
  if (name === undefined) return weekdayFirst(place)
  let used = name.used
  while (
    used < name.used + 4 &&
    [':', '=', 'on', 'is', 'for', 'the', 'date', '-', 'planned', 'due'].includes(tokenAt(place, used)?.lower ?? '')
  )
    used += 1
  const named = DAY_WORDS[tokenAt(place, used)?.lower ?? '']
  if (named !== undefined) return surgeryOn(daysAfter(place.today, named), used + 1, place.today, 'counted from today')
  if (place.at + used >= place.end) return undefined
  const relative = weekdayAt(place, used) ?? spanAt(place, used)
  if (relative !== undefined) return relative
  const date = dateAt(place.tokens.slice(place.at + used, Math.min(place.end, place.at + used + 8)), 0, place.today)
  if (date === undefined) {
    const unknown = name.used > 1 || tokenAt(place, 0)?.lower !== 'planned' ? unknownMark(place, used) : 0
    return unknown > 0 && used > name.used
      ? { used: used + unknown, facts: [fact('surgeryDate', 'date of surgery', undefined, 'not known')] }
      : undefined
  }
  return surgeryOn(date.iso, used + date.used, place.today, date.assumed)
}

/** When the eye was measured, as a date: kept as its age in months, which is what matters. */
export const readBiometryDate: Reader = (place) => {
  const name = matchAt(BIOMETRY_DATE_FORMS, place.tokens, place.at)
  if (name === undefined) return undefined
  const used = name.used + bridge(place, name.used)
  const on = tokenAt(place, used)?.lower === 'on' ? 1 : 0
  if (place.at + used + on >= place.end) return undefined
  const date = dateAt(place.tokens.slice(place.at + used + on, Math.min(place.end, place.at + used + on + 8)), 0, undefined)
  if (date === undefined) return undefined
  const days = daysBetween(date.iso, place.today)
  const taken = used + on + date.used
  if (days < 0)
    return {
      used: taken,
      faults: [
        {
          kind: 'out-of-range',
          field: 'biometryAgeMonths',
          blocks: false,
          message: 'the date of the biometry is in the future. It is not used.',
          instead: 'biometry 3 months ago',
        },
      ],
    }
  const months = Math.round((days / 365.2425) * 12 * 10) / 10
  return {
    used: taken,
    facts: [
      fact(
        'biometryAgeMonths',
        'age of the biometry',
        months,
        `${months} months`,
        `counted from ${longDate(date.iso)}; the date is not kept`,
      ),
    ],
  }
}
