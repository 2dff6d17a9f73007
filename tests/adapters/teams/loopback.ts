import { once } from 'node:events'
import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import type { TeamsSettings } from '../../../adapters/teams/settings.js'
import { type RunningTeams, startTeams, TEAMS_PATH, type TeamsDeps } from '../../../adapters/teams/start.js'
import type { Delivery } from '../../../src/desk/ports.js'
import type { Conversation, Conversations } from '../../../src/desk/store.js'
import { CHANNEL, deliver, GROUP, PERSONAL, ROWAN } from '../../fakes/teams-activities.js'
import { BOT_TOKEN, startTeamsConnector, type TeamsConnector } from '../../fakes/teams-connector.js'
import { APP_ID, channelToken, ISSUER, TENANT } from '../../fakes/teams-tokens.js'

export interface Inbox {
  readonly kept: Delivery[]
  /** What `accept` does before it keeps a delivery: nothing, unless a test says otherwise. */
  before: (delivery: Delivery) => void | Promise<void>
}

function inbox(): Inbox & { accept(delivery: Delivery): Promise<void> } {
  const kept: Delivery[] = []
  return {
    kept,
    before: () => {},
    async accept(delivery) {
      await this.before(delivery)
      if (!kept.some((one) => one.key === delivery.key)) kept.push(delivery)
    },
  }
}

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
  const server = createServer((request, response) => teams.requestListener(request, response))
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  const url = `http://127.0.0.1:${(server.address() as AddressInfo).port}${TEAMS_PATH}`
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
      server.close()
      server.closeAllConnections()
    },
  }
}
