import type { TeamsSettings } from '../../../adapters/teams/settings.js'
import { type RunningTeams, startTeams, TEAMS_PATH, type TeamsDeps } from '../../../adapters/teams/start.js'
import type { Conversation, Conversations } from '../../../src/desk/store.js'
import { CHANNEL, deliver, GROUP, PERSONAL, ROWAN } from '../../fakes/teams-activities.js'
import { BOT_TOKEN, startTeamsConnector, type TeamsConnector } from '../../fakes/teams-connector.js'
import { APP_ID, channelToken, ISSUER, TENANT } from '../../fakes/teams-tokens.js'
import { type Inbox, inbox } from '../../tools/delivery-inbox.js'
import { servedAt } from '../../tools/served.js'

export function conversationsInMemory(): Conversations & { readonly kept: Map<string, Conversation>; puts: number } {
  const kept = new Map<string, Conversation>()
  return {
    kept,
    puts: 0,
    get: async (tenant, id) => kept.get(`${tenant} ${id}`),
    async put(conversation) {
      this.puts += 1
      kept.set(`${conversation.tenant} ${conversation.id}`, conversation)
    },
  }
}

export const settingsFor = (connector: TeamsConnector): TeamsSettings => ({
  appId: APP_ID,
  appPassword: 'not-used-on-loopback',
  appType: 'SingleTenant',
  tenantId: TENANT,
  allowedTenants: [TENANT],
  serviceUrls: [connector.serviceUrl],
  channelAddresses: {
    ToChannelFromBotLoginUrl: 'https://login.invalid/tenant',
    ToChannelFromBotOAuthScope: 'https://api.botframework.com',
    ToBotFromChannelTokenIssuer: ISSUER,
    OAuthUrl: 'https://token.invalid',
    ToBotFromChannelOpenIdMetadataUrl: connector.openIdUrl,
    ToBotFromEmulatorOpenIdMetadataUrl: 'https://emulator.invalid/openid',
    CallerId: 'urn:botframework:azure',
  },
})

export interface Loopback {
  readonly connector: TeamsConnector
  readonly conversations: ReturnType<typeof conversationsInMemory>
  readonly teams: RunningTeams
  readonly url: string
  readonly inbox: Inbox
  readonly logged: string[]
  /** Delivers an activity as Teams does, from the loopback's address and with a good token. */
  deliver(activity: object): Promise<Response>
  stop(): Promise<void>
}

/** The real framework over HTTP, against a Bot Connector on loopback. */
export async function startLoopback(deps: Partial<TeamsDeps> = {}): Promise<Loopback> {
  const connector = await startTeamsConnector({ conversations: [CHANNEL, GROUP] })
  connector.chats.set(ROWAN.id, PERSONAL)
  const box = inbox()
  const conversations = conversationsInMemory()
  const logged: string[] = []
  const log = (level: string) => (fields: unknown, line?: string) => {
    logged.push(`${level} ${JSON.stringify(fields)} ${line ?? ''}`)
  }
  const teams = await startTeams(settingsFor(connector), {
    accept: (delivery) => box.accept(delivery),
    receive: (inbound, key) => ({ key, inbound }),
    conversations,
    logger: { info: log('info'), warn: log('warn'), error: log('error') },
    timeoutMs: 1_000,
    wait: async () => {},
    botToken: async () => BOT_TOKEN,
    ...deps,
  })
  const served = await servedAt(TEAMS_PATH, (request, response) => teams.requestListener(request, response))
  const { url } = served
  return {
    connector,
    conversations,
    teams,
    url,
    inbox: box,
    logged,
    deliver: (activity) =>
      deliver(url, { ...activity, serviceUrl: connector.serviceUrl }, { token: channelToken(connector.serviceUrl) }),
    async stop() {
      await teams.stop()
      await connector.stop().catch(() => {})
      served.stop()
    },
  }
}

/** A loopback of which the bot has heard in each kind of conversation, so that it knows where to send. */
export async function startHeard(): Promise<Loopback> {
  const loopback = await startLoopback()
  const { serviceUrl } = loopback.connector
  for (const [id, kind] of [
    [CHANNEL, 'channel'],
    [GROUP, 'group'],
    [PERSONAL, 'personal'],
    ['19:elsewhere@thread.tacv2', 'channel'],
  ] as const)
    await loopback.conversations.put({ tenant: TENANT, id, kind, serviceUrl })
  return loopback
}
