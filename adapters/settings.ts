import { IANAZone } from 'luxon'
import { z } from 'zod'
import { CHANNEL_ADDRESSES } from './teams/settings.js'

/**
 * Settings come from the environment and are checked once, at the start; every fault is listed, not only the first.
 * The chat frameworks' own names are kept, so that their documentation stays true here.
 */
const text = z.string().trim().min(1, 'write something, or leave the setting out')

/** What goes there holds a token or decides whom we trust, so it is encrypted; but for what stands on this machine. */
function isSafeAddress(address: string): boolean {
  if (!URL.canParse(address)) return false
  const { protocol, hostname } = new URL(address)
  return protocol === 'https:' || (protocol === 'http:' && /^(localhost|127(\.\d+){3}|\[::1\])$/.test(hostname))
}
const url = text.refine(isSafeAddress, 'write an address that begins with https://')

/** A list between commas, each item of which has a form. */
const list = (isOne: (item: string) => boolean, instead: string) =>
  z
    .string()
    .default('')
    .refine((value) => listed(value).every(isOne), instead)

const environment = z.object({
  DATABASE_URL: text
    .regex(/^(sqlite:.+|postgres(ql)?:\/\/.+)$/, 'write sqlite:PATH or postgres://…')
    .default('sqlite:data/soundings.db'),
  HOST: text.default('127.0.0.1'),
  PORT: z.coerce.number('write a port number').int().min(0).max(65535).default(3000),
  LOG_LEVEL: z.enum(['fatal', 'error', 'warn', 'info', 'debug', 'silent']).default('info'),
  /** Host names under which the page may be asked for besides the loopback ones, separated by commas. */
  SOUNDINGS_PAGE_HOSTS: list(
    (host) => /^([a-z0-9-]+(\.[a-z0-9-]+)*|\[[0-9a-f:.]+\])$/i.test(host),
    'write host names alone, without https:// and without a port, separated by commas',
  ),
  /** The department's lens list, a JSON file. */
  SOUNDINGS_LENS_LIST: text.optional(),
  /** A folder with the department's own rules and overrides. */
  SOUNDINGS_RULES: text.optional(),
  /** Whose consults the learning page counts: those put on the page, or all of the trail. */
  SOUNDINGS_LEARNING: z.enum(['page', 'all'], 'write page or all').default('page'),
  /** All operations of the unit, a CSV file, so that the learning page's chart of complications has them as its denominator. */
  SOUNDINGS_OPERATIONS: text.optional(),
  /** `off` starts with an empty trail instead of the invented demo consult. */
  SOUNDINGS_DEMO: z.enum(['on', 'off']).optional(),
  /** How many days texts and plans are kept after the last entry of a consult. Nothing is erased by age without it. */
  SOUNDINGS_RETENTION_DAYS: z.coerce.number('write a number of days').int().min(1).max(36_525).optional(),

  /** A secret that the rows are sealed with, kept where nobody who can write to the database reads it. */
  SOUNDINGS_SEAL_KEY: text.min(32, 'write at least 32 characters, such as from: openssl rand -hex 32').optional(),
  /** The secret before, for the one command that seals the trail anew. */
  SOUNDINGS_SEAL_KEY_BEFORE: text.optional(),

  /** The department's groups that can be asked by name, a JSON file. */
  SOUNDINGS_GROUPS: text.optional(),
  /** Ids of the department's leads, separated by commas: they may close a consult or give it to somebody else. */
  SOUNDINGS_LEADS: list(
    (id) => /^(slack|teams):[^:\s]+:\S+$|^web:\S+$/.test(id),
    'write ids such as slack:T0001:U0002 or teams:TENANT:USER, separated by commas; exports show them',
  ),
  /** The department's time zone, by its name in the time-zone database. */
  SOUNDINGS_ZONE: text.default('UTC').refine((zone) => IANAZone.isValidZone(zone), 'write a time zone such as Europe/London'),
  /** When no reminders are sent, unless a person has set their own hours; `off` for none. */
  SOUNDINGS_QUIET_HOURS: text
    .regex(/^(([01]\d|2[0-3]):[0-5]\d-([01]\d|2[0-3]):[0-5]\d|off)$/, 'write quiet hours such as 20:00-07:00, or off')
    .default('20:00-07:00'),

  /** Hours within which an answer is hoped for: routine, this week, today. The default is a convention (common practice, no source). */
  SOUNDINGS_ANSWER_HOURS: text
    .regex(/^[1-9]\d{0,3},[1-9]\d{0,3},[1-9]\d{0,3}$/, 'write three numbers of hours such as 72,24,2: routine, this week, today')
    .default('72,24,2'),

  SLACK_BOT_TOKEN: text.regex(/^xoxb-/, 'a bot token starts with xoxb-').optional(),
  SLACK_SIGNING_SECRET: text.optional(),
  SLACK_APP_TOKEN: text.regex(/^xapp-/, 'an app-level token starts with xapp-').optional(),
  SLACK_API_URL: url.optional(),

  MicrosoftAppId: text.optional(),
  MicrosoftAppPassword: text.optional(),
  MicrosoftAppType: z.enum(['SingleTenant', 'MultiTenant', 'UserAssignedMSI']).default('SingleTenant'),
  MicrosoftAppTenantId: text.optional(),
  /** Teams tenants whose messages are taken, separated by commas; the app's own tenant when empty. */
  SOUNDINGS_TEAMS_TENANTS: z.string().default(''),
  /** More addresses that the bot's token may be sent to (a gateway), separated by commas. */
  SOUNDINGS_TEAMS_SERVICE_URLS: list(isSafeAddress, 'write addresses that begin with https://, separated by commas'),
  ToChannelFromBotLoginUrl: url.optional(),
  ToChannelFromBotOAuthScope: text.optional(),
  ToBotFromChannelTokenIssuer: text.optional(),
  OAuthUrl: url.optional(),
  ToBotFromChannelOpenIdMetadataUrl: url.optional(),
  ToBotFromEmulatorOpenIdMetadataUrl: url.optional(),
  CallerId: text.optional(),
})

export type Settings = z.infer<typeof environment>
type Name = keyof Settings

export interface SettingFault {
  readonly name: string
  readonly message: string
}

type Given = Readonly<Record<string, string>>

/** What settings lack of each other, judged by what was written: it is said beside what is wrong with single ones. */
function misfits(given: Given): readonly SettingFault[] {
  const faults: SettingFault[] = []
  const fault = (name: Name, message: string) => faults.push({ name, message })
  const has = (name: Name): boolean => given[name] !== undefined
  if (has('SLACK_BOT_TOKEN') && !has('SLACK_SIGNING_SECRET') && !has('SLACK_APP_TOKEN'))
    fault('SLACK_SIGNING_SECRET', 'with SLACK_BOT_TOKEN, set SLACK_SIGNING_SECRET (HTTP) or SLACK_APP_TOKEN (Socket Mode)')
  if (!has('SLACK_BOT_TOKEN') && (has('SLACK_SIGNING_SECRET') || has('SLACK_APP_TOKEN')))
    fault('SLACK_BOT_TOKEN', 'Slack needs its bot token too (xoxb-…)')

  const appType = given['MicrosoftAppType'] ?? 'SingleTenant'
  if (!has('MicrosoftAppId') && has('MicrosoftAppPassword')) fault('MicrosoftAppId', 'Teams needs the app id with the password')
  if (!has('MicrosoftAppId')) return faults
  if (appType !== 'UserAssignedMSI' && !has('MicrosoftAppPassword'))
    fault('MicrosoftAppPassword', 'Teams needs the app password with MicrosoftAppId')
  if (appType !== 'MultiTenant' && !has('MicrosoftAppTenantId'))
    fault('MicrosoftAppTenantId', `${appType === 'UserAssignedMSI' ? appType : 'SingleTenant'} needs the tenant id`)
  if (appType === 'MultiTenant' && !has('MicrosoftAppTenantId') && listed(given['SOUNDINGS_TEAMS_TENANTS'] ?? '').length === 0)
    fault('SOUNDINGS_TEAMS_TENANTS', 'with MultiTenant, name the tenants whose people are heard')
  const missing = CHANNEL_ADDRESSES.filter((name) => !has(name))
  if (missing.length < CHANNEL_ADDRESSES.length)
    for (const name of missing) fault(name, 'another cloud needs all its addresses; this one is missing')
  return faults
}

/** A misspelt name would be passed over in silence, and what was meant would not hold. */
const unknownNames = (given: Given): readonly SettingFault[] =>
  Object.keys(given)
    .filter((name) => name.startsWith('SOUNDINGS_') && !Object.hasOwn(environment.shape, name))
    .map((name) => ({ name, message: 'there is no such setting; README.md lists those there are' }))

/** Reads the settings, or lists every fault with the setting's name. Values are never repeated: some are secrets. */
export function readSettings(
  given: Readonly<Record<string, string | undefined>>,
): { readonly settings: Settings } | { readonly faults: readonly SettingFault[] } {
  const present: Given = Object.fromEntries(
    Object.entries(given).flatMap(([name, value]) => (value === undefined || value === '' ? [] : [[name, value]])),
  )
  const parsed = environment.safeParse(present)
  const wrong = parsed.success ? [] : parsed.error.issues.map(({ path, message }) => ({ name: path.join('.'), message }))
  const faults = [...wrong, ...misfits(present), ...unknownNames(present)]
  return parsed.success && faults.length === 0 ? { settings: parsed.data } : { faults }
}

/** A comma-separated setting as a list. */
export const listed = (value: string): readonly string[] =>
  value
    .split(',')
    .map((item) => item.trim())
    .filter((item) => item !== '')
