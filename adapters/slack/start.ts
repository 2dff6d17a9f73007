import type { IncomingMessage, ServerResponse } from 'node:http'
import { App, HTTPReceiver, type Receiver, SocketModeReceiver } from '@slack/bolt'
import { WebAPIPlatformError, WebClient, type WebClientOptions } from '@slack/web-api'
import type { BaseLogger } from 'pino'
import type { Card, ChoiceAction } from '../../src/cards/card.js'
import type { Form } from '../../src/cards/form.js'
import type { Person, Place } from '../../src/consult/people.js'
import { oncePerCause } from '../../src/desk/failed-look-ups.js'
import type { Clock, Delivery, Inbound, Sender } from '../../src/desk/ports.js'
import type { Rooms } from '../../src/desk/rooms.js'
import { type BoltLogger, boltLogger, faultName } from './bolt-logger.js'
import type { Timing } from './channel-queue.js'
import { causeAtSlack } from './look-ups.js'
import { nameBook } from './names.js'
import { openForm } from './open-form.js'
import { slackPictures } from './pictures.js'
import { publishHome } from './publish-home.js'
import { passesGate } from './request-gate.js'
import { responseUrls } from './response-url.js'
import { slackRooms } from './rooms.js'
import { slackSender } from './sender.js'
import { keepConnecting, socketClientOptions } from './socket-mode.js'
import { type Owed, takeIn } from './take-in.js'
import type { Bot } from './translation.js'
import { unknownButtonAnswer } from './unknown-button.js'
import { userGroups } from './user-groups.js'

export const SLACK_PATH = '/slack/events'

export interface SlackSettings {
  readonly botToken: string
  readonly mode: 'http' | 'socket'
  /** Needed in HTTP mode. */
  readonly signingSecret?: string
  /** Needed in Socket Mode. */
  readonly appToken?: string
  /** Another address of the Web API, ending in `/api/`: a gateway, or the tests' own. */
  readonly apiUrl?: string
}

export interface SlackDeps {
  /** Stores a delivery durably, once for each key; throws if it is not stored. Slack is answered after it. */
  readonly accept: (delivery: Delivery) => Promise<void>
  /** Judges a delivery for identifiers before it is stored. */
  readonly receive: (inbound: Inbound, key: string) => Delivery
  readonly logger: Pick<BaseLogger, 'info' | 'warn' | 'error'>
  readonly clock: Clock
  /** Whether a consult hangs in a thread that somebody else began; all such threads are kept where this is absent. */
  readonly holdsConsult?: (place: Place) => boolean | Promise<boolean>
  /** The form that a button opens, filled in for this person; a button that finds none goes to the desk. */
  readonly formFor?: (does: Extract<ChoiceAction, { action: 'open-form' }>, reader: Reader) => Promise<Form | undefined>
  /** What waits for this person, for their Home tab. */
  readonly homeFor?: (reader: Reader) => Promise<Card>
  /** Draws a picture as PNG of this width in pixels; without it pictures are shown in words. */
  readonly pngOf?: (svg: string, width: number) => Promise<Uint8Array>
  readonly timing?: Timing
  /** How long one call to Slack may take, ms. */
  readonly timeoutMs?: number
}

export interface Reader {
  readonly by: Person
  readonly place: Place
}

export interface RunningSlack {
  /** Serves {@link SLACK_PATH} in HTTP mode; absent in Socket Mode. */
  readonly requestListener?: (request: IncomingMessage, response: ServerResponse) => void
  readonly sender: Sender
  readonly rooms: Rooms
  /** Takes nothing more in, waits for what is under way, and lets the connection go. */
  stop(): Promise<void>
}

const TIMING: Timing = {
  gapMs: 1_100,
  ticks: () => performance.now(),
  wait: (ms) => new Promise((resolve) => setTimeout(resolve, ms)),
}

/**
 * Connects to Slack over HTTP or Socket Mode. In both a delivery is stored before Slack is told that it arrived:
 * Bolt's one entrance is wrapped, so that its acknowledgement and its listeners come after the insert.
 * Throws, saying which setting is wrong, if Slack does not accept the tokens.
 */
export async function startSlack(settings: SlackSettings, deps: SlackDeps): Promise<RunningSlack> {
  const logger = boltLogger(deps.logger)
  const timeoutMs = deps.timeoutMs ?? 10_000
  const apiUrl = settings.apiUrl === undefined ? {} : { apiUrl: settings.apiUrl }
  const clientOptions: WebClientOptions = {
    ...(settings.apiUrl === undefined ? {} : { slackApiUrl: settings.apiUrl }),
    logger,
    retryConfig: { retries: 0 },
    rejectRateLimitedCalls: true,
    allowAbsoluteUrls: false,
    timeout: timeoutMs,
  }
  const client = new WebClient(settings.botToken, clientOptions)
  const bot = await whoWeAre(client)
  const receiver = receiverFor(settings, deps, logger)
  // the identity is known, so Bolt asks Slack nothing of its own at start
  const app = new App({
    receiver,
    token: settings.botToken,
    botId: bot.botId,
    botUserId: bot.userId,
    convoStore: false,
    ignoreSelf: false,
    logger,
    clientOptions,
  })
  const now = () => Date.parse(deps.clock.now())
  const failed = oncePerCause(
    (asked, cause) =>
      deps.logger.warn({ asked, cause }, 'Slack did not tell what it was asked for; what is not known is not shown'),
    now,
    causeAtSlack,
  )
  const names = nameBook(client, now, failed)
  const timing = deps.timing ?? TIMING
  const { pngOf } = deps
  const pictures =
    pngOf === undefined
      ? {}
      : { pictures: slackPictures({ client, pngOf, logger: deps.logger, wait: timing.wait, timeoutMs, ...apiUrl }) }
  const sender = slackSender({
    client,
    bot,
    responseUrls: responseUrls({ ...apiUrl, timeoutMs }),
    timing,
    names,
    ...pictures,
  })
  const parts = {
    bot,
    names,
    groups: userGroups(client, now, failed),
    receive: deps.receive,
    accept: deps.accept,
    holdsConsult: deps.holdsConsult ?? (() => true),
    logger: deps.logger,
  }

  const underWay = new Set<Promise<unknown>>()
  const counted = <T>(work: Promise<T>): Promise<T> => {
    underWay.add(work)
    void work.catch(() => undefined).then(() => underWay.delete(work))
    return work
  }
  let stopping = false
  const processEvent = app.processEvent.bind(app)
  app.processEvent = (event) => {
    if (stopping) return Promise.reject(new Error('stopping'))
    return counted(
      (async () => {
        const owed = await takeIn(parts, event.body)
        await processEvent(owed?.owed === 'faults' ? { ...event, ack: () => event.ack(withFaults(owed.errors)) } : event)
        if (owed !== undefined) void counted(settle(owed))
      })(),
    )
  }

  async function settle(owed: Owed): Promise<void> {
    switch (owed.owed) {
      case 'unknown-button':
        await sender.answer(unknownButtonAnswer(owed.reply))
        return
      case 'home':
        if (deps.homeFor !== undefined) await publishHome(client, { ...owed, homeFor: deps.homeFor, logger: deps.logger })
        return
      case 'form': {
        const { wanted } = owed
        const { does, inbound } = wanted
        const formFor = async () => deps.formFor?.(does, { by: inbound.by, place: inbound.place })
        if (await openForm({ client, formFor, logger: deps.logger }, wanted)) return
        // the desk says how to type it instead
        await deps.accept(deps.receive(inbound, wanted.key)).catch((fault: unknown) => {
          deps.logger.error({ chat: 'slack' }, `a form was neither opened nor answered: ${faultName(fault)}`)
        })
        return
      }
      case 'faults':
    }
  }
  // commands, buttons and shortcuts are acknowledged here; Bolt acknowledges events by itself
  app.use(async (args) => {
    if ('ack' in args && typeof args.ack === 'function') await (args.ack as () => Promise<void>)()
    await args.next()
  })

  const socket = receiver instanceof SocketModeReceiver ? receiver : undefined
  if (socket !== undefined) await connected(socket, deps.logger)

  return {
    ...(receiver instanceof HTTPReceiver
      ? {
          requestListener: (request: IncomingMessage, response: ServerResponse) => {
            if (passesGate(request, response, Date.parse(deps.clock.now()))) receiver.requestListener(request, response)
          },
        }
      : {}),
    sender,
    rooms: slackRooms(client, now, failed),
    async stop() {
      stopping = true
      while (underWay.size > 0) await Promise.allSettled([...underWay])
      await sender.idle()
      if (socket !== undefined) await Promise.race([socket.client.disconnect(), TIMING.wait(2_000)])
    },
  }
}

/** The form stays open, with what is wrong beside each field. */
const withFaults = (errors: Readonly<Record<string, string>>) => ({ response_action: 'errors', errors })

async function whoWeAre(client: WebClient): Promise<Bot> {
  try {
    const { user_id: userId, bot_id: botId } = await client.auth.test()
    if (userId === undefined || botId === undefined)
      throw new Error('SLACK_BOT_TOKEN is not a bot’s token: use the one that starts with xoxb-')
    return { userId, botId }
  } catch (fault) {
    if (fault instanceof WebAPIPlatformError)
      throw new Error(`Slack does not accept SLACK_BOT_TOKEN (${fault.data.error}): copy the bot token from the app’s OAuth page`)
    if (fault instanceof Error && fault.message.startsWith('SLACK_')) throw fault
    throw new Error(`Slack could not be reached to check SLACK_BOT_TOKEN: ${faultName(fault)}`, { cause: fault })
  }
}

async function connected(socket: SocketModeReceiver, logger: SlackDeps['logger']): Promise<void> {
  try {
    await socket.start()
  } catch (fault) {
    if (fault instanceof WebAPIPlatformError)
      throw new Error(
        `Slack does not accept SLACK_APP_TOKEN (${fault.data.error}): it needs an app-level token with connections:write, and Socket Mode switched on`,
      )
    throw new Error(`Slack’s Socket Mode could not be reached: ${faultName(fault)}`, { cause: fault })
  }
  keepConnecting(socket.client, logger)
}

function receiverFor(
  settings: SlackSettings,
  deps: SlackDeps,
  logger: BoltLogger,
): Receiver & (HTTPReceiver | SocketModeReceiver) {
  const notStored = (fault: unknown) =>
    deps.logger.error({ chat: 'slack' }, `a delivery was not stored and Slack was told so: ${faultName(fault)}`)
  if (settings.mode === 'socket') {
    if (settings.appToken === undefined) throw new Error('Socket Mode needs SLACK_APP_TOKEN (xapp-…)')
    return new SocketModeReceiver({
      appToken: settings.appToken,
      logger,
      installerOptions: { clientOptions: socketClientOptions(settings.apiUrl) },
      processEventErrorHandler: async ({ error }) => {
        notStored(error)
        return false
      },
    })
  }
  if (settings.signingSecret === undefined) throw new Error('Slack over HTTP needs SLACK_SIGNING_SECRET')
  return new HTTPReceiver({
    signingSecret: settings.signingSecret,
    endpoints: SLACK_PATH,
    logger,
    processEventErrorHandler: async ({ error, response }) => {
      notStored(error)
      if (!response.headersSent) response.writeHead(500).end()
      return false
    },
  })
}
