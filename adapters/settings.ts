import { IANAZone } from 'luxon'
import { z } from 'zod'

/**
 * Settings come from the environment and are checked once, at the start; every fault is listed, not only the first.
 * The chat frameworks' own names are kept, so that their documentation stays true here.
 */
const text = z.string().trim().min(1)
const url = z.url({ protocol: /^https?$/ })

const environment = z.object({
  DATABASE_URL: text
    .regex(/^(sqlite:.+|postgres(ql)?:\/\/.+)$/, 'write sqlite:PATH or postgres://…')
    .default('sqlite:data/soundings.db'),
  HOST: text.default('127.0.0.1'),
  PORT: z.coerce.number('write a port number').int().min(0).max(65535).default(3000),
  LOG_LEVEL: z.enum(['fatal', 'error', 'warn', 'info', 'debug', 'silent']).default('info'),
  /** Host names under which the page may be asked for besides the loopback ones, separated by commas. */
  SOUNDINGS_PAGE_HOSTS: z.string().default(''),
  /** The department's lens list, a JSON file. */
  SOUNDINGS_LENS_LIST: text.optional(),
  /** A folder with the department's own rules and overrides. */
  SOUNDINGS_RULES: text.optional(),
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
  SOUNDINGS_LEADS: z.string().default(''),
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
  SOUNDINGS_TEAMS_SERVICE_URLS: z.string().default(''),
  ToChannelFromBotLoginUrl: url.optional(),
  ToChannelFromBotOAuthScope: text.optional(),
  ToBotFromChannelTokenIssuer: text.optional(),
  OAuthUrl: url.optional(),
  ToBotFromChannelOpenIdMetadataUrl: url.optional(),
  ToBotFromEmulatorOpenIdMetadataUrl: url.optional(),
  CallerId: text.optional(),
})

const settings = environment.superRefine((given, context) => {
  const fault = (name: keyof z.infer<typeof environment>, message: string) =>
    context.addIssue({ code: 'custom', path: [name], message })
  if (given.SLACK_BOT_TOKEN && !given.SLACK_SIGNING_SECRET && !given.SLACK_APP_TOKEN)
    fault('SLACK_SIGNING_SECRET', 'with SLACK_BOT_TOKEN, set SLACK_SIGNING_SECRET (HTTP) or SLACK_APP_TOKEN (Socket Mode)')
  if (!given.SLACK_BOT_TOKEN && (given.SLACK_SIGNING_SECRET || given.SLACK_APP_TOKEN))
    fault('SLACK_BOT_TOKEN', 'Slack needs its bot token too (xoxb-…)')
  if (given.MicrosoftAppId && given.MicrosoftAppType !== 'UserAssignedMSI' && !given.MicrosoftAppPassword)
    fault('MicrosoftAppPassword', 'Teams needs the app password with MicrosoftAppId')
  if (!given.MicrosoftAppId && given.MicrosoftAppPassword) fault('MicrosoftAppId', 'Teams needs the app id with the password')
  if (given.MicrosoftAppId && given.MicrosoftAppType !== 'MultiTenant' && !given.MicrosoftAppTenantId)
    fault('MicrosoftAppTenantId', `${given.MicrosoftAppType} needs the tenant id`)
})

export type Settings = z.infer<typeof settings>

export interface SettingFault {
  readonly name: string
  readonly message: string
}

/** Reads the settings, or lists every fault with the setting's name. Values are never repeated: some are secrets. */
export function readSettings(
  given: Readonly<Record<string, string | undefined>>,
): { readonly settings: Settings } | { readonly faults: readonly SettingFault[] } {
  const present = Object.fromEntries(Object.entries(given).filter(([, value]) => value !== undefined && value !== ''))
  const parsed = settings.safeParse(present)
  if (parsed.success) return { settings: parsed.data }
  return { faults: parsed.error.issues.map(({ path, message }) => ({ name: path.join('.'), message })) }
}

/** A comma-separated setting as a list. */
export const listed = (value: string): readonly string[] =>
  value
    .split(',')
    .map((item) => item.trim())
    .filter((item) => item !== '')
