/** Where Teams takes messages: the public cloud and the United States government's, by the platform's documentation of proactive messages. */
export const TEAMS_SERVICE_URLS: readonly string[] = [
  'https://smba.trafficmanager.net',
  'https://smba.infra.gcc.teams.microsoft.com',
  'https://smba.infra.gov.teams.microsoft.us',
  'https://smba.infra.dod.teams.microsoft.us',
]

const PUBLIC_TOKEN_ISSUER = 'https://api.botframework.com'

/** The addresses of another cloud than the public one, by the framework's own names. All of them, or none. */
export const CHANNEL_ADDRESSES = [
  'ToChannelFromBotLoginUrl',
  'ToChannelFromBotOAuthScope',
  'ToBotFromChannelTokenIssuer',
  'OAuthUrl',
  'ToBotFromChannelOpenIdMetadataUrl',
  'ToBotFromEmulatorOpenIdMetadataUrl',
  'CallerId',
] as const
export type ChannelAddresses = Readonly<Record<(typeof CHANNEL_ADDRESSES)[number], string>>

export interface TeamsSettings {
  readonly appId: string
  /** Not for a managed identity. */
  readonly appPassword?: string
  readonly appType: 'SingleTenant' | 'MultiTenant' | 'UserAssignedMSI'
  readonly tenantId?: string
  /** Tenants whose people are heard; the app's own where empty. */
  readonly allowedTenants: readonly string[]
  /** Where the bot's token may be sent, besides {@link TEAMS_SERVICE_URLS}: other clouds, gateways, the tests' own. */
  readonly serviceUrls?: readonly string[]
  readonly channelAddresses?: Partial<ChannelAddresses>
}

/** @throws where the settings do not fit together, naming the setting */
export function checkedSettings(settings: TeamsSettings): TeamsSettings {
  // with an empty app id the framework lets everybody in
  if (settings.appId.trim() === '') throw new Error('MicrosoftAppId is empty: without it nobody who calls could be checked')
  if (settings.appType !== 'UserAssignedMSI' && !settings.appPassword?.trim())
    throw new Error(`MicrosoftAppPassword is needed with MicrosoftAppType ${settings.appType}`)
  if (settings.appType !== 'MultiTenant' && !settings.tenantId?.trim())
    throw new Error(`MicrosoftAppTenantId is needed with MicrosoftAppType ${settings.appType}`)
  const given = settings.channelAddresses ?? {}
  const missing = CHANNEL_ADDRESSES.filter((name) => !given[name])
  if (missing.length > 0 && missing.length < CHANNEL_ADDRESSES.length)
    throw new Error(`another cloud needs all its addresses; these are missing: ${missing.join(', ')}`)
  const tenants = settings.allowedTenants.length > 0 ? settings.allowedTenants : settings.tenantId ? [settings.tenantId] : []
  if (tenants.length === 0) throw new Error('SOUNDINGS_TEAMS_TENANTS is empty: name the tenants whose people are heard')
  return { ...settings, allowedTenants: tenants }
}

export const tokenIssuer = (settings: TeamsSettings): string =>
  settings.channelAddresses?.ToBotFromChannelTokenIssuer || PUBLIC_TOKEN_ISSUER

/** Whether the bot may send its token there: the library itself would send it anywhere. */
export function trustedServiceUrl(settings: TeamsSettings): (url: string) => boolean {
  const origins = new Set([...TEAMS_SERVICE_URLS, ...(settings.serviceUrls ?? [])].map((url) => new URL(url).origin))
  return (url) => URL.canParse(url) && origins.has(new URL(url).origin)
}
