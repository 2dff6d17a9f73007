import type { Inbound } from './ports.js'
import { note, refuse } from './replies.js'
import type { DeskView, Effects, PersonSettings } from './store.js'

export type SettingCommand =
  | { readonly set: 'reminders'; readonly on: boolean }
  | { readonly set: 'quiet'; readonly from: string; readonly to: string }
  | { readonly set: 'quiet-off' }
  | { readonly set: 'zone'; readonly zone: string }

const CLOCK = '(?:[01]?\\d|2[0-3])[:.][0-5]\\d'

/** `reminders off`, `quiet 20:00-07:00`, `quiet off`, `zone Europe/London`; undefined where it is none of them. */
export function settingIn(text: string): SettingCommand | undefined {
  const said = text.trim()
  const reminders = /^reminders\s+(?<on>on|off)[.!]?$/iu.exec(said)?.groups?.['on']
  if (reminders !== undefined) return { set: 'reminders', on: reminders.toLowerCase() === 'on' }
  if (/^quiet\s+off[.!]?$/iu.test(said)) return { set: 'quiet-off' }
  const quiet = new RegExp(`^quiet\\s*:?\\s+(?<from>${CLOCK})\\s*(?:-|\\u2013|to)\\s*(?<to>${CLOCK})$`, 'iu').exec(said)?.groups
  if (quiet) return { set: 'quiet', from: clock(quiet['from']), to: clock(quiet['to']) }
  const zone = /^zone\s*:?\s+(?<zone>[A-Za-z_+-]+(?:\/[A-Za-z0-9_+-]+)*)$/u.exec(said)?.groups?.['zone']
  return zone === undefined ? undefined : { set: 'zone', zone }
}

const clock = (written: string | undefined): string => (written ?? '').replace('.', ':').padStart(5, '0')

/** Keeps what a person wants of reminders, and reads it back whole. */
export async function keepSetting(inbound: Inbound, command: SettingCommand, view: DeskView): Promise<Effects> {
  const { id } = inbound.by
  const known: PersonSettings = (await view.settings(id)) ?? { id, reminders: true }
  const settings = changed(known, command)
  if (settings === undefined)
    return refuse(
      inbound,
      `“${command.set === 'zone' ? command.zone : ''}” is not a time zone. Write it like: zone Europe/London`,
    )
  return { ...note(inbound, settingsInWords(settings)), settings: [settings] }
}

function changed(known: PersonSettings, command: SettingCommand): PersonSettings | undefined {
  switch (command.set) {
    case 'reminders':
      return { ...known, reminders: command.on }
    case 'quiet':
      return { ...known, quiet: { from: command.from, to: command.to } }
    case 'quiet-off':
      // The same minute twice is no quiet time at all; absent would mean the department's.
      return { ...known, quiet: { from: '00:00', to: '00:00' } }
    case 'zone': {
      const zone = zoneNamed(command.zone)
      return zone === undefined ? undefined : { ...known, zone }
    }
    default:
      return unreachable(command)
  }
}

/** The zone by its name in the time-zone database, in its own capitals. */
function zoneNamed(zone: string): string | undefined {
  try {
    return new Intl.DateTimeFormat('en', { timeZone: zone }).resolvedOptions().timeZone
  } catch {
    return undefined
  }
}

function settingsInWords({ reminders, quiet, zone }: PersonSettings): string {
  const where = zone === undefined ? 'the department’s time zone' : zone
  if (!reminders) return `You get no reminders. To have them again, write: reminders on`
  const silent =
    quiet === undefined
      ? 'outside the department’s quiet hours'
      : quiet.from === quiet.to
        ? 'at any hour'
        : `not between ${quiet.from} and ${quiet.to}`
  return `You get reminders, ${silent}, by the clock of ${where}. To change it, write: reminders off, quiet 20:00-07:00, or zone Europe/London`
}

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
