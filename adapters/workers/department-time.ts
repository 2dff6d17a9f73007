import { DateTime, IANAZone } from 'luxon'
import type { PersonTime } from '../../src/consult/reminders.js'
import type { PersonSettings } from '../../src/desk/store.js'

/** What holds for whoever has not said otherwise. */
export interface DepartmentTime {
  /** IANA name of a time zone. */
  readonly zone: string
  readonly quiet?: NonNullable<PersonSettings['quiet']>
}

const CLOCK = /^(\d{2}):(\d{2})$/

/** The department's time as its settings say it: `20:00-07:00`, or `off`. */
export function departmentTime(zone: string, quietHours: string): DepartmentTime {
  const [from, to] = quietHours.split('-')
  return from === undefined || to === undefined ? { zone } : { zone, quiet: { from, to } }
}

/** The ISO date that a zone's calendar shows at an ISO time. */
export const dayIn = (zone: string, at: string): string => DateTime.fromISO(at, { zone }).toISODate() ?? at.slice(0, 10)

/** What a person's clock says now, and when they want no messages. A zone that is not known here counts as the department's. */
export function timeOf(settings: PersonSettings | undefined, department: DepartmentTime, now: string): PersonTime {
  const own = IANAZone.create(settings?.zone ?? department.zone)
  const zone = own.isValid ? own : IANAZone.create(department.zone)
  const quiet = settings?.quiet ?? department.quiet
  const from = minuteOf(quiet?.from)
  const to = minuteOf(quiet?.to)
  return {
    offsetMinutes: zone.isValid ? zone.offset(Date.parse(now)) : 0,
    reminders: settings?.reminders ?? true,
    ...(from === undefined || to === undefined ? {} : { quiet: { fromMinute: from, toMinute: to } }),
  }
}

function minuteOf(clock: string | undefined): number | undefined {
  const match = CLOCK.exec(clock ?? '')
  return match ? Number(match[1]) * 60 + Number(match[2]) : undefined
}
