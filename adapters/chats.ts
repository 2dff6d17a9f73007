import type { Logger } from 'pino'
import type { Platform } from '../src/consult/people.js'
import type { Clock, Delivery, Sender } from '../src/desk/ports.js'
import { receive } from '../src/desk/receive.js'
import type { Store } from '../src/desk/store.js'
import type { Route } from './http/server.js'
import type { Settings } from './settings.js'

export interface Chats {
  readonly names: readonly Platform[]
  readonly routes: readonly Route[]
  readonly senders: Readonly<Partial<Record<Platform, { readonly sender: Sender; readonly spacingMs: number }>>>
  stop(): Promise<void>
}

interface ChatParts {
  readonly accept: (delivery: Delivery) => Promise<void>
  readonly clock: Clock
  readonly log: Logger
  readonly store: Store
}

/** Slack takes about one message a second in one channel, ms. */
const SLACK_SPACING_MS = 1_100

/** Starts the chats that are set up, each loaded only then: what is not used costs neither time nor memory. */
export async function connectChats(settings: Settings, parts: ChatParts): Promise<Chats> {
  const slack = settings.SLACK_BOT_TOKEN === undefined ? undefined : await connectSlack(settings, settings.SLACK_BOT_TOKEN, parts)
  return {
    names: [...(slack ? (['slack'] as const) : [])],
    routes: [...(slack?.route ? [slack.route] : [])],
    senders: { ...(slack ? { slack: { sender: slack.sender, spacingMs: SLACK_SPACING_MS } } : {}) },
    stop: async () => {
      await slack?.stop()
    },
  }
}

async function connectSlack(settings: Settings, botToken: string, { accept, clock, log, store }: ChatParts) {
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
      receive: (inbound, key) => receive(inbound, key, clock.now().slice(0, 10)),
      logger: log,
      clock,
      holdsConsult: async (place) => (await store.view.consultInThread(place)) !== undefined,
    },
  )
  const handler = started.requestListener
  return { ...(handler ? { route: { path: SLACK_PATH, handler } } : {}), sender: started.sender, stop: started.stop }
}
