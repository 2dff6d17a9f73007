import type { Logger } from 'pino'
import type { Platform } from '../src/consult/people.js'
import type { Clock, Delivery, Sender } from '../src/desk/ports.js'
import { receive } from '../src/desk/receive.js'
import type { Rooms } from '../src/desk/rooms.js'
import type { Store } from '../src/desk/store.js'
import type { FormsAndHome } from './forms-and-home.js'
import type { Route } from './http/server.js'
import type { PngDrawer } from './png/png-of.js'
import { listed, type Settings } from './settings.js'

export interface Chats {
  readonly names: readonly Platform[]
  readonly routes: readonly Route[]
  readonly senders: Readonly<Partial<Record<Platform, { readonly sender: Sender; readonly spacingMs: number }>>>
  readonly rooms: Readonly<Partial<Record<Platform, Rooms>>>
  stop(): Promise<void>
}

interface ChatParts {
  readonly accept: (delivery: Delivery) => Promise<void>
  readonly clock: Clock
  readonly log: Logger
  readonly store: Store
  readonly asked: FormsAndHome
  /** The department's own day, ISO date. */
  readonly today: () => string
}

type Drawing = Pick<PngDrawer, 'pngOf'>

/** Slack takes about one message a second in one channel, ms. */
const SLACK_SPACING_MS = 1_100
/** Teams counts operations an hour in one conversation; one a second stays under it, ms. */
const TEAMS_SPACING_MS = 1_000

/** Starts the chats that are set up, each loaded only then: what is not used costs neither time nor memory. */
export async function connectChats(settings: Settings, parts: ChatParts): Promise<Chats> {
  const { SLACK_BOT_TOKEN: botToken, MicrosoftAppId: appId, MicrosoftAppPassword: appPassword } = settings
  if (botToken === undefined && appId === undefined)
    return { names: [], routes: [], senders: {}, rooms: {}, stop: async () => {} }
  const { startPngDrawer } = await import('./png/png-of.js')
  const drawer = startPngDrawer()
  const slack = botToken === undefined ? undefined : await connectSlack(settings, botToken, parts, drawer)
  const teams = appId === undefined ? undefined : await connectTeams(settings, appId, appPassword, parts, drawer)
  return {
    names: [...(slack ? (['slack'] as const) : []), ...(teams ? (['teams'] as const) : [])],
    routes: [...(slack?.route ? [slack.route] : []), ...(teams ? [teams.route] : [])],
    senders: {
      ...(slack ? { slack: { sender: slack.sender, spacingMs: SLACK_SPACING_MS } } : {}),
      ...(teams ? { teams: { sender: teams.sender, spacingMs: TEAMS_SPACING_MS } } : {}),
    },
    rooms: { ...(slack ? { slack: slack.rooms } : {}), ...(teams ? { teams: teams.rooms } : {}) },
    stop: async () => {
      await Promise.all([slack?.stop(), teams?.stop()])
      await drawer.stop()
    },
  }
}

async function connectSlack(
  settings: Settings,
  botToken: string,
  { accept, clock, log, store, asked, today }: ChatParts,
  { pngOf }: Drawing,
) {
  const { SLACK_PATH, startSlack } = await import('./slack/start.js')
  const started = await startSlack(
    {
      botToken,
      mode: settings.SLACK_APP_TOKEN === undefined ? 'http' : 'socket',
      ...(settings.SLACK_SIGNING_SECRET === undefined ? {} : { signingSecret: settings.SLACK_SIGNING_SECRET }),
      ...(settings.SLACK_APP_TOKEN === undefined ? {} : { appToken: settings.SLACK_APP_TOKEN }),
      ...(settings.SLACK_API_URL === undefined ? {} : { apiUrl: settings.SLACK_API_URL }),
    },
    {
      accept,
      receive: (inbound, key) => receive(inbound, key, today()),
      ...asked,
      pngOf,
      logger: log,
      clock,
      holdsConsult: async (place) => (await store.view.consultInThread(place)) !== undefined,
    },
  )
  const handler = started.requestListener
  const { sender, rooms, stop } = started
  return { ...(handler ? { route: { path: SLACK_PATH, handler } } : {}), sender, rooms, stop }
}

async function connectTeams(
  settings: Settings,
  appId: string,
  appPassword: string | undefined,
  { accept, log, store, asked, today }: ChatParts,
  { pngOf }: Drawing,
) {
  const { TEAMS_PATH, startTeams } = await import('./teams/start.js')
  const { CHANNEL_ADDRESSES } = await import('./teams/settings.js')
  const addresses = CHANNEL_ADDRESSES.flatMap((name) => (settings[name] === undefined ? [] : [[name, settings[name]] as const]))
  const started = await startTeams(
    {
      appId,
      ...(appPassword === undefined ? {} : { appPassword }),
      appType: settings.MicrosoftAppType,
      ...(settings.MicrosoftAppTenantId === undefined ? {} : { tenantId: settings.MicrosoftAppTenantId }),
      allowedTenants: listed(settings.SOUNDINGS_TEAMS_TENANTS),
      serviceUrls: listed(settings.SOUNDINGS_TEAMS_SERVICE_URLS),
      ...(addresses.length === 0 ? {} : { channelAddresses: Object.fromEntries(addresses) }),
    },
    {
      accept,
      receive: (inbound, key) => receive(inbound, key, today()),
      conversations: store.conversations,
      holdsConsult: async (place) => (await store.view.consultInThread(place)) !== undefined,
      formFor: asked.formFor,
      pngOf,
      nameOf: async (id) => (await store.view.person(id))?.name,
      logger: log,
    },
  )
  const { requestListener: handler, sender, rooms } = started
  return { route: { path: TEAMS_PATH, handler }, sender, rooms, stop: () => started.stop() }
}
