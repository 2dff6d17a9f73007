import type { IncomingMessage, ServerResponse } from 'node:http'
import type { BaseLogger } from 'pino'
import type { ChoiceAction } from '../../src/cards/card.js'
import type { Form } from '../../src/cards/form.js'
import type { Person, Place } from '../../src/consult/people.js'
import { oncePerCause } from '../../src/desk/failed-look-ups.js'
import type { Delivery, Inbound, Sender } from '../../src/desk/ports.js'
import type { Rooms } from '../../src/desk/rooms.js'
import type { Conversation, Conversations } from '../../src/desk/store.js'
import { adaptiveMessages } from '../../src/views/adaptive-card.js'
import { outcomeOf, type PressedPreviews } from './answer.js'
import { type BotService, botService } from './bot-service.js'
import { conversationBook } from './conversations.js'
import { DIALOG_PATIENCE_MS, DIALOG_WORDS, type DialogAnswer, dialogOf, sentence, withFaults } from './dialog.js'
import { passesGate, turnAway } from './request-gate.js'
import { teamsRooms } from './rooms.js'
import { teamsSender } from './sender.js'
import { checkedSettings, type TeamsSettings, tokenIssuer, trustedServiceUrl } from './settings.js'
import { notNowAnswer, unknownButtonAnswer, welcomeCard } from './short-answers.js'
import { showForm } from './show-form.js'
import { type Owed, takeIn } from './take-in.js'
import { type AskedIn, activityOf } from './teams-message.js'
import { botOf } from './translation.js'

export const TEAMS_PATH = '/api/messages'

export interface TeamsDeps {
  /** Stores a delivery durably, once for each key; throws if it is not stored. Teams is answered after it. */
  readonly accept: (delivery: Delivery) => Promise<void>
  /** Judges a delivery for identifiers before it is stored. */
  readonly receive: (inbound: Inbound, key: string) => Delivery
  /** Keeps where to send, over a restart. */
  readonly conversations: Conversations
  readonly logger: Pick<BaseLogger, 'info' | 'warn' | 'error'>
  /** Whether a consult hangs in a thread; everything overheard in threads is kept where this is absent. */
  readonly holdsConsult?: (place: Place) => boolean | Promise<boolean>
  /** The form that a button opens, filled in for this person; a button that finds none goes to the desk. */
  readonly formFor?: (
    does: Extract<ChoiceAction, { action: 'open-form' }>,
    reader: { readonly by: Person; readonly place: Place },
  ) => Promise<Form | undefined>
  /** Draws a picture as PNG of this width in pixels; without it pictures are told in words. */
  readonly pngOf?: (svg: string, width: number) => Promise<Uint8Array>
  /** The name of somebody who took part, by our id; a note mentions only those whose name is known. */
  readonly nameOf?: (id: string) => Promise<string | undefined>
  /** How long one call to Teams may take, ms. */
  readonly timeoutMs?: number
  readonly wait?: (ms: number) => Promise<void>
  /** How long a dialog waits for its form, ms; then the form follows as a card. */
  readonly dialogPatienceMs?: number
  /** Another source of the bot's own token than Microsoft's sign-in. */
  readonly botToken?: () => Promise<string>
}

export interface RunningTeams {
  /** Serves {@link TEAMS_PATH}. */
  readonly requestListener: (request: IncomingMessage, response: ServerResponse) => void
  readonly sender: Sender
  readonly rooms: Rooms
  /** Takes nothing more in and waits for what is under way. */
  stop(): Promise<void>
}

/** Names of people heard of since the start, so that they can be mentioned. */
const MOST_NAMES = 5_000

const WAIT = (ms: number) => new Promise<void>((resolve) => setTimeout(resolve, ms))

/**
 * Opens the door to Teams. A delivery is stored before Teams is told that it arrived.
 * Throws, saying which setting is wrong, where nobody who calls could be checked.
 */
export async function startTeams(given: TeamsSettings, deps: TeamsDeps): Promise<RunningTeams> {
  const settings = checkedSettings(given)
  const service = botService(settings, {
    botId: botOf(settings.appId).id,
    timeoutMs: deps.timeoutMs ?? 15_000,
    ...(deps.botToken === undefined ? {} : { botToken: deps.botToken }),
  })
  const rules = { issuer: tokenIssuer(settings), trusted: trustedServiceUrl(settings), tenants: settings.allowedTenants }
  const conversations = conversationBook(deps.conversations)
  const previews: PressedPreviews = new Set()
  const chats = new Map<string, string>()
  const names = new Map<string, string>()
  const speaking = { service, conversations, previews, trusted: rules.trusted, wait: deps.wait ?? WAIT, logger: deps.logger }
  const now = () => Date.now()
  const failed = oncePerCause(
    (asked, cause) =>
      deps.logger.warn({ asked, cause }, 'Teams did not tell what it was asked for; what is not known is not shown'),
    now,
  )
  const rooms = teamsRooms({ service, conversations, trusted: rules.trusted, now, failed })
  const sender = teamsSender(
    {
      ...speaking,
      nameOf: async (id) => names.get(id) ?? (await deps.nameOf?.(id)),
      idOf: (name) => onlyNamed(names, name),
      ...(deps.pngOf === undefined ? {} : { pngOf: deps.pngOf }),
    },
    chats,
  )
  const parts = {
    conversations,
    previews,
    rooms,
    receive: deps.receive,
    accept: async (delivery: Delivery) => {
      if (names.size >= MOST_NAMES) names.clear()
      names.set(delivery.inbound.by.id, delivery.inbound.by.name)
      await deps.accept(delivery)
    },
    holdsConsult: deps.holdsConsult ?? (() => true),
    logger: deps.logger,
  }

  const underWay = new Set<Promise<unknown>>()
  const counted = (work: Promise<unknown>) => {
    underWay.add(work)
    void work.catch(() => undefined).then(() => underWay.delete(work))
  }
  let stopping = false

  async function taken(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const passed = await passesGate(request, rules)
    if ('status' in passed) {
      deps.logger.warn({ chat: 'teams', status: passed.status }, `turned away: ${passed.because}`)
      return turnAway(response, passed)
    }
    const { body, envelope, tenant, authorization } = passed
    let owed: Owed | undefined
    const outcome = await service.take(authorization, envelope, async () => {
      owed = await takeIn(parts, body, envelope, tenant)
    })
    if (outcome !== 'taken') {
      deps.logger.warn(
        { chat: 'teams' },
        outcome === 'refused' ? 'turned away: its token is not good' : 'Teams’ keys could not be fetched',
      )
      return bare(response, outcome === 'refused' ? 401 : 503)
    }
    if (envelope.type === 'invoke') return returned(response, owed)
    bare(response, 200)
    if (owed !== undefined) counted(settle(owed))
  }

  /** What was invoked is answered in the response itself; a form that is late follows as a card. */
  async function returned(response: ServerResponse, owed: Owed | undefined): Promise<void> {
    const answer = await dialogFor(owed)
    if (answer === undefined) return bare(response, 501)
    response.writeHead(200, { 'content-type': 'application/json; charset=utf-8' }).end(JSON.stringify(answer))
  }

  async function dialogFor(owed: Owed | undefined): Promise<DialogAnswer | undefined> {
    switch (owed?.owed) {
      case 'form': {
        const { does, inbound, dialog, key, conversation } = owed.wanted
        if (dialog === undefined) return undefined
        const form = await readFor(does, inbound)
        if (form === 'late') {
          counted(settle(owed))
          return sentence(DIALOG_WORDS.follows)
        }
        if (form !== undefined) return dialogOf(form, dialog, belongsElsewhere(inbound.place, conversation.id))
        // the desk says how to type it instead
        await deps.accept(deps.receive(inbound, key))
        return sentence(DIALOG_WORDS.notOpened)
      }
      case 'dialog-faults': {
        const { inbound, dialog, faults, identifying } = owed
        const form = await readFor({ action: 'open-form', form: inbound.form, ...inbound.about }, inbound)
        if (form === undefined || form === 'late') return sentence(Object.values(faults).join('. '))
        const mended = withFaults(form, inbound.values, faults, identifying)
        return dialogOf(mended, dialog, belongsElsewhere(inbound.place, inbound.reply['conversation'] ?? ''))
      }
      case 'dialog-taken':
        return sentence(DIALOG_WORDS.taken)
      case 'unknown-button':
        return sentence(DIALOG_WORDS.noLonger)
      case 'not-now':
        return sentence(DIALOG_WORDS.notNow)
      default:
        return undefined
    }
  }

  async function readFor(
    does: Extract<ChoiceAction, { action: 'open-form' }>,
    { by, place }: Pick<Inbound, 'by' | 'place'>,
  ): Promise<Form | 'late' | undefined> {
    const reading = Promise.resolve(deps.formFor?.(does, { by, place })).catch((fault: unknown) => {
      deps.logger.warn({ chat: 'teams', form: does.form }, `a form could not be read: ${faultName(fault)}`)
      return undefined
    })
    return Promise.race([reading, lateAfter(deps.dialogPatienceMs ?? DIALOG_PATIENCE_MS)])
  }

  async function settle(owed: Owed): Promise<void> {
    if (owed.owed === 'form') {
      const { does, inbound, key } = owed.wanted
      const formFor = async () => deps.formFor?.(does, { by: inbound.by, place: inbound.place })
      if (await showForm({ ...speaking, chats }, owed.wanted, formFor)) return
      // the desk says how to type it instead
      await deps.accept(deps.receive(inbound, key)).catch((fault: unknown) => {
        deps.logger.error({ chat: 'teams' }, `a form was neither shown nor answered: ${faultName(fault)}`)
      })
      return
    }
    if (owed.owed === 'dialog-taken' || owed.owed === 'dialog-faults') return
    const outcome = await (owed.owed === 'welcome'
      ? welcome(service, owed.conversation)
      : sender.answer(owed.owed === 'not-now' ? notNowAnswer(owed.reply) : unknownButtonAnswer(owed.reply)))
    if (outcome.outcome !== 'sent') deps.logger.warn({ chat: 'teams' }, `${owed.owed}: not certainly said: ${outcome.because}`)
  }

  return {
    requestListener(request, response) {
      if (stopping) return bare(response, 503)
      counted(
        taken(request, response).catch((fault: unknown) => {
          deps.logger.error({ chat: 'teams' }, `a delivery was not stored and Teams was told so: ${faultName(fault)}`)
          if (!response.headersSent) bare(response, 500)
        }),
      )
    },
    sender,
    rooms,
    async stop() {
      stopping = true
      while (underWay.size > 0) await Promise.allSettled([...underWay])
    },
  }
}

const lateAfter = (ms: number): Promise<'late'> =>
  new Promise((resolve) => {
    setTimeout(() => resolve('late'), ms).unref()
  })

/** Where a form belongs when it is shown in the personal chat although it was asked for elsewhere. */
const belongsElsewhere = ({ channel, thread }: Place, shownIn: string): AskedIn | undefined =>
  channel === shownIn ? undefined : { channel, ...(thread === undefined ? {} : { thread }) }

/** Two of one name are no answer. */
function onlyNamed(names: ReadonlyMap<string, string>, name: string): string | undefined {
  const wanted = name.replace(/^@/, '').trim().toLowerCase()
  const [only, ...others] = [...names].filter(([, one]) => one.toLowerCase() === wanted)
  return others.length === 0 ? only?.[0] : undefined
}

/** A status and no words: what went wrong here is nobody's business there. */
function bare(response: ServerResponse, status: number): void {
  response.writeHead(status).end()
}

function welcome(service: BotService, { serviceUrl, kind, id, tenant }: Conversation) {
  return outcomeOf(async () => {
    const [message] = adaptiveMessages(welcomeCard)
    const connector = await service.connector(serviceUrl)
    if (message === undefined) return {}
    return kind === 'channel' ? connector.beginThread(id, tenant, activityOf(message)) : connector.send(id, activityOf(message))
  })
}

/** A fault's own words may repeat what was written; its name and code do not. */
function faultName(fault: unknown): string {
  if (!(fault instanceof Error)) return 'fault'
  const code: unknown = Reflect.get(fault, 'code')
  return typeof code === 'string' ? `${fault.name} (${code})` : fault.name
}
