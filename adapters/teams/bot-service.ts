import {
  type Activity,
  type ChannelAccount,
  CloudAdapter,
  ConfigurationBotFrameworkAuthentication,
  ConfigurationServiceClientCredentialFactory,
} from 'botbuilder'
import {
  type AuthenticateRequestResult,
  AuthenticationConstants,
  AuthenticationError,
  ClaimsIdentity,
  type ConnectorClient,
  type ServiceClientCredentialsFactory,
} from 'botframework-connector'
import type { ActivityEnvelope } from './payloads.js'
import { NO_TOKEN } from './send-outcome.js'
import type { TeamsSettings } from './settings.js'

/*
 * The one place that knows the Bot Framework's library, which is no longer developed: everything else here speaks in
 * these two interfaces.
 */

export interface BotService {
  /** Checks whose delivery it is; only then has it handled. What the handling throws is thrown on. */
  take(
    authorization: string,
    activity: ActivityEnvelope,
    handle: () => Promise<void>,
  ): Promise<'taken' | 'refused' | 'cannot-check'>
  /** Speaks to Teams at this address. Each call is made once and never repeated. */
  connector(serviceUrl: string): Promise<Connector>
}

export interface OutgoingActivity {
  readonly type: 'message'
  readonly summary: string
  readonly attachments: readonly (
    | { readonly contentType: string; readonly content: unknown }
    | { readonly contentType: 'image/png'; readonly name: string; readonly contentUrl: string }
  )[]
}

export interface Connector {
  /** Begins a thread in a channel with this message. */
  beginThread(channel: string, tenant: string, message: OutgoingActivity): Promise<{ readonly message?: string }>
  /** The one chat of the bot with this person; made where there is none. */
  personalChat(user: string, tenant: string): Promise<{ readonly conversation?: string }>
  /** Whether somebody, by their id on Teams or in the directory, is in a chat or in the team or channel of a conversation. */
  isMember(conversation: string, user: string): Promise<boolean>
  send(conversation: string, message: OutgoingActivity): Promise<{ readonly message?: string }>
  update(conversation: string, message: string, content: OutgoingActivity): Promise<{ readonly message?: string }>
}

export interface BotServiceParts {
  readonly botId: string
  readonly timeoutMs: number
  /** Another source of the bot's own token than Microsoft's sign-in. */
  readonly botToken?: () => Promise<string>
}

/** @throws where the library lacks what is relied on, or the settings do not fit together */
export function botService(settings: TeamsSettings, parts: BotServiceParts): BotService {
  const authentication = new ConfigurationBotFrameworkAuthentication(
    { MicrosoftAppId: settings.appId, ...settings.channelAddresses },
    credentialsFactory(settings, parts),
  )
  const adapter = new CloudAdapter(authentication)
  // without this the library writes the error on the standard output and tells the chat about it
  adapter.onTurnError = async (_, error) => {
    throw error
  }
  const identity = new ClaimsIdentity([
    { type: AuthenticationConstants.AudienceClaim, value: settings.appId },
    { type: AuthenticationConstants.AppIdClaim, value: settings.appId },
  ])
  const connectors = new Map<string, Promise<Connector>>()

  return {
    async take(authorization, activity, handle) {
      // the library's type asks for every field that any channel may fill; it reads those that have been checked
      const given = activity as unknown as Activity
      let verified: AuthenticateRequestResult
      try {
        verified = await authentication.authenticateRequest(given, authorization)
      } catch (fault) {
        return isRefusal(fault) ? 'refused' : 'cannot-check'
      }
      let failed: { readonly fault: unknown } | undefined
      await adapter
        .processActivityDirect(verified, given, async () => {
          await handle().catch((fault: unknown) => {
            failed = { fault }
          })
        })
        .catch((fault: unknown) => {
          failed ??= { fault }
        })
      if (failed !== undefined) throw failed.fault
      return 'taken'
    },

    connector(serviceUrl) {
      const known = connectors.get(serviceUrl)
      if (known !== undefined) return known
      const made = authentication
        .createConnectorFactory(identity)
        .create(serviceUrl)
        .then((client) => connectorOver(client, parts))
      connectors.set(serviceUrl, made)
      made.catch(() => connectors.delete(serviceUrl))
      return made
    },
  }
}

/** A bad token, as opposed to keys that could not be fetched. */
function isRefusal(fault: unknown): boolean {
  if (fault instanceof AuthenticationError) return fault.statusCode < 500
  return fault instanceof Error && /^(JsonWebTokenError|TokenExpiredError|NotBeforeError)$/.test(fault.name)
}

function connectorOver(client: ConnectorClient, { botId, timeoutMs }: BotServiceParts): Connector {
  withoutHiddenRetries(client)
  const { conversations } = client
  // the library's types ask for names, which Teams knows better
  const account = (id: string) => ({ id }) as ChannelAccount
  const bot = account(botId)
  const within = () => ({ abortSignal: AbortSignal.timeout(timeoutMs), timeout: timeoutMs })
  const activity = (content: OutgoingActivity): Partial<Activity> => ({
    ...content,
    attachments: content.attachments.map((one) => ({ ...one })),
    from: bot,
  })

  return {
    async beginThread(channel, tenant, message) {
      const begun = await conversations.createConversation(
        {
          isGroup: true,
          bot,
          tenantId: tenant,
          channelData: { channel: { id: channel }, tenant: { id: tenant } },
          // the library's type again asks for fields that only a received activity has
          activity: activity(message) as Activity,
        },
        within(),
      )
      return idIn(begun.activityId)
    },

    async personalChat(user, tenant) {
      const chat = await conversations.createConversation(
        {
          isGroup: false,
          bot,
          members: [account(user)],
          tenantId: tenant,
          channelData: { tenant: { id: tenant } },
          activity: undefined as unknown as Activity,
        },
        within(),
      )
      return typeof chat.id === 'string' && chat.id !== '' ? { conversation: chat.id } : {}
    },

    async isMember(conversation, user) {
      try {
        const member: unknown = await conversations.getConversationMember(conversation, user, within())
        return typeof member === 'object' && member !== null && typeof Reflect.get(member, 'id') === 'string'
      } catch (fault) {
        if (typeof fault === 'object' && fault !== null && Reflect.get(fault, 'statusCode') === 404) return false
        throw fault
      }
    },

    async send(conversation, message) {
      const sent = await conversations.sendToConversation(conversation, activity(message), within())
      return idIn(sent.id)
    },

    async update(conversation, message, content) {
      const changed = { ...activity(content), id: message }
      await conversations.updateActivity(conversation, message, changed, within())
      return { message }
    },
  }
}

const idIn = (id: unknown): { readonly message?: string } => (typeof id === 'string' && id !== '' ? { message: id } : {})

/** The library repeats what fails up to three times, which may post twice, and follows redirects with the bot's token. */
function withoutHiddenRetries(client: ConnectorClient): void {
  const inner: unknown = Reflect.get(client, 'client')
  const pipeline: unknown = typeof inner === 'object' && inner !== null ? Reflect.get(inner, 'pipeline') : undefined
  if (!removesPolicies(pipeline))
    throw new Error('this version of botframework-connector hides its pipeline: sends would be repeated')
  for (const name of ['defaultRetryPolicy', 'redirectPolicy']) pipeline.removePolicy({ name })
}

interface Pipeline {
  removePolicy(policy: { readonly name: string }): readonly unknown[]
}

const removesPolicies = (thing: unknown): thing is Pipeline =>
  typeof thing === 'object' && thing !== null && 'removePolicy' in thing && typeof thing.removePolicy === 'function'

/** The library's own credentials, with failures to get a token told apart from failures to send. */
function credentialsFactory(settings: TeamsSettings, { botToken }: BotServiceParts): ServiceClientCredentialsFactory {
  const configured =
    botToken === undefined
      ? new ConfigurationServiceClientCredentialFactory({
          MicrosoftAppId: settings.appId,
          MicrosoftAppType: settings.appType,
          ...(settings.appPassword === undefined ? {} : { MicrosoftAppPassword: settings.appPassword }),
          ...(settings.tenantId === undefined ? {} : { MicrosoftAppTenantId: settings.tenantId }),
        })
      : undefined
  return {
    isValidAppId: async (id) => id === settings.appId,
    isAuthenticationDisabled: async () => false,
    async createCredentials(appId, audience, loginEndpoint, validateAuthority) {
      const inner = await configured?.createCredentials(appId, audience ?? '', loginEndpoint, validateAuthority)
      return {
        async signRequest(request) {
          try {
            if (inner !== undefined) return await inner.signRequest(request)
            request.headers.set('authorization', `Bearer ${await botToken?.()}`)
            return request
          } catch (fault) {
            throw Object.assign(new Error('the bot got no token of its own', { cause: fault }), { code: NO_TOKEN })
          }
        },
      }
    },
  }
}
