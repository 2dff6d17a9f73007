import { once } from 'node:events'
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { z } from 'zod'
import { cardFaults } from './teams-cards.js'
import { PUBLISHED, TENANT } from './teams-tokens.js'

export const BOT_TOKEN = 'the-bots-own-token'

/** A message as it stands in a conversation. */
export interface Standing {
  readonly id: string
  /** With the mark of its thread, in a channel. */
  readonly conversation: string
  summary: string
  card: unknown
  /** The pictures beside the card, as data addresses. */
  pictures: readonly string[]
}

export interface Call {
  readonly method: string
  readonly path: string
  readonly body: unknown
}

export type Misbehaviour =
  | { readonly kind: 'status'; readonly status: number; readonly retryAfter?: string; readonly message?: string }
  /** The message is taken, and the answer lost. */
  | { readonly kind: 'lost-answer' }
  | { readonly kind: 'cut' }
  | { readonly kind: 'slow'; readonly ms: number }
  | { readonly kind: 'body'; readonly body: string }
  | { readonly kind: 'redirect'; readonly to: string }

export interface TeamsConnector {
  /** The service address, as activities carry it. */
  readonly serviceUrl: string
  readonly openIdUrl: string
  readonly standing: Standing[]
  readonly calls: Call[]
  /** People who have the bot in their personal chat, each with that conversation. */
  readonly chats: Map<string, string>
  /** People by the ids they are known by, for each conversation whose roster is not everybody. */
  readonly rosters: Map<string, readonly string[]>
  /** What the next calls meet, in this order; `on` picks them by method and path. */
  misbehave(how: Misbehaviour, on?: RegExp): void
  stop(): Promise<void>
}

/** The smallest of the limits that Teams' own pages state. */
const MOST_BYTES = 28 * 1024

/** Documented: the attachment of a card and the words for a notification; our messages have no text of their own. */
const messageSchema = z
  .looseObject({
    type: z.literal('message'),
    summary: z.string().min(1),
    text: z.undefined().optional(),
    from: z.looseObject({ id: z.string().startsWith('28:') }),
    attachments: z
      .tuple(
        [z.object({ contentType: z.literal('application/vnd.microsoft.card.adaptive'), content: z.looseObject({}) })],
        z.strictObject({
          contentType: z.literal('image/png'),
          name: z.string(),
          contentUrl: z.string().regex(/^data:image\/png;base64,iVBOR[A-Za-z0-9+/]+=*$/),
        }),
      )
      .refine((all) => all.length <= 2, 'one picture at most'),
  })
  .superRefine(({ attachments }, context) => {
    for (const fault of cardFaults(attachments[0].content)) context.addIssue(fault)
  })

const threadSchema = z.strictObject({
  isGroup: z.literal(true),
  bot: z.looseObject({ id: z.string().startsWith('28:') }),
  tenantId: z.literal(TENANT),
  channelData: z.object({ channel: z.object({ id: z.string().startsWith('19:') }), tenant: z.object({ id: z.literal(TENANT) }) }),
  activity: messageSchema,
})

const chatSchema = z.strictObject({
  isGroup: z.literal(false),
  bot: z.looseObject({ id: z.string().startsWith('28:') }),
  tenantId: z.literal(TENANT),
  channelData: z.object({ tenant: z.object({ id: z.literal(TENANT) }) }),
  // by the id on Teams, or by that in the directory (learn.microsoft.com, proactive messages)
  members: z.array(z.looseObject({ id: z.string().regex(/^(?:29:.+|[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12})$/) })).length(1),
})

/** The Bot Connector and the channel's published keys, on loopback; it checks what the real one checks. */
export async function startTeamsConnector(options: { readonly conversations: readonly string[] }): Promise<TeamsConnector> {
  const standing: Standing[] = []
  const calls: Call[] = []
  const chats = new Map<string, string>()
  const rosters = new Map<string, readonly string[]>()
  const mishaps: { readonly how: Misbehaviour; readonly on: RegExp }[] = []
  let clock = 1_790_000_200_000

  const server = createServer((request, response) => {
    void serve(request, response)
  })
  // a picture drawn on a busy machine takes longer than the five seconds that an idle connection is kept by default
  server.keepAliveTimeout = 60_000
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  const base = `http://127.0.0.1:${(server.address() as AddressInfo).port}`

  async function serve(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const path = decodeURIComponent(new URL(request.url ?? '/', base).pathname)
    if (path === '/openid') return json(response, 200, { issuer: 'loopback', jwks_uri: `${base}/keys` })
    if (path === '/keys') return json(response, 200, { keys: PUBLISHED })

    const text = await bodyOf(request)
    const body: unknown = text === '' ? undefined : JSON.parse(text)
    calls.push({ method: request.method ?? '', path, body })
    const next = mishaps.findIndex(({ on }) => on.test(`${request.method} ${path}`))
    const mishap = next === -1 ? undefined : mishaps.splice(next, 1)[0]?.how
    if (mishap !== undefined && !(await lives(mishap, response))) return
    const [status, answer] = judged(request, path, text, body)
    if (mishap?.kind === 'lost-answer') return void response.destroy()
    json(response, status, answer)
  }

  /** @returns whether the call is served after all */
  async function lives(mishap: Misbehaviour, response: ServerResponse): Promise<boolean> {
    switch (mishap.kind) {
      case 'status':
        json(response, mishap.status, { error: { code: 'Mishap', message: mishap.message ?? 'mishap' } }, mishap.retryAfter)
        return false
      case 'cut':
        response.destroy()
        return false
      case 'slow':
        await new Promise((resolve) => setTimeout(resolve, mishap.ms))
        return true
      case 'body':
        response.writeHead(200, { 'content-type': 'text/html' }).end(mishap.body)
        return false
      case 'redirect':
        response.writeHead(307, { location: mishap.to }).end()
        return false
      default:
        return true
    }
  }

  const error = (status: number, code: string): [number, unknown] => [status, { error: { code, message: code } }]
  const nextId = () => {
    clock += 1_000
    return String(clock)
  }

  function judged(request: IncomingMessage, path: string, text: string, body: unknown): [number, unknown] {
    if (request.headers.authorization !== `Bearer ${BOT_TOKEN}`) return error(401, 'Unauthorized')
    if (Buffer.byteLength(text) > MOST_BYTES) return error(413, 'MessageSizeTooBig')
    const route = `${request.method} ${path.replace(/^\/teams/, '')}`
    if (route === 'POST /v3/conversations') return begun(body)
    const [, roster, member] = /^GET \/v3\/conversations\/([^/]+)\/members\/([^/]+)$/.exec(route) ?? []
    if (roster !== undefined && member !== undefined) return memberOf(roster, member)
    const [, method, conversation, message] =
      /^(POST|PUT) \/v3\/conversations\/([^/]+)\/activities(?:\/([^/]+))?$/.exec(route) ?? []
    if (method === undefined || conversation === undefined) return error(404, 'NoRoute')
    const parsed = messageSchema.safeParse(body)
    if (!parsed.success) return error(400, `BadSyntax ${z.prettifyError(parsed.error)}`)
    return method === 'PUT' ? changed(conversation, message ?? '', parsed.data) : sent(conversation, parsed.data)
  }

  /** Somebody is found by their id on Teams or by that in the directory. */
  function memberOf(conversation: string, user: string): [number, unknown] {
    if (!options.conversations.includes(conversation)) return error(403, 'BotNotInConversationRoster')
    const known = rosters.get(conversation)
    if (known !== undefined && !known.includes(user)) return error(404, 'MemberNotFoundInConversation')
    return [200, { id: '29:member', name: 'Member', aadObjectId: user }]
  }

  function begun(body: unknown): [number, unknown] {
    const chat = chatSchema.safeParse(body)
    if (chat.success) {
      const conversation = chats.get(chat.data.members[0]?.id ?? '')
      return conversation === undefined ? error(403, 'ForbiddenOperationException') : [201, { id: conversation }]
    }
    const thread = threadSchema.safeParse(body)
    if (!thread.success) return error(400, `BadSyntax ${z.prettifyError(thread.error)}`)
    const channel = thread.data.channelData.channel.id
    if (!options.conversations.includes(channel)) return error(403, 'BotNotInConversationRoster')
    const id = nextId()
    const conversation = `${channel};messageid=${id}`
    stand(id, conversation, thread.data.activity)
    return [201, { id: conversation, activityId: id }]
  }

  function sent(conversation: string, message: z.infer<typeof messageSchema>): [number, unknown] {
    const [channel = '', root] = conversation.split(';messageid=')
    if (!options.conversations.includes(channel) && ![...chats.values()].includes(channel))
      return error(403, 'BotNotInConversationRoster')
    if (channel.endsWith('@thread.tacv2') && root === undefined) return error(400, 'a channel takes messages by thread here')
    const id = nextId()
    stand(id, conversation, message)
    return [201, { id }]
  }

  function changed(conversation: string, id: string, message: z.infer<typeof messageSchema>): [number, unknown] {
    const before = standing.find((one) => one.id === id && one.conversation === conversation)
    if (before === undefined) return error(404, 'ActivityNotFoundInConversation')
    before.summary = message.summary
    before.card = message.attachments[0].content
    before.pictures = picturesOf(message)
    return [200, { id }]
  }

  const stand = (id: string, conversation: string, message: z.infer<typeof messageSchema>) =>
    standing.push({
      id,
      conversation,
      summary: message.summary,
      card: message.attachments[0].content,
      pictures: picturesOf(message),
    })

  const picturesOf = ({ attachments: [, ...pictures] }: z.infer<typeof messageSchema>) =>
    pictures.map(({ contentUrl }) => contentUrl)

  return {
    serviceUrl: `${base}/teams/`,
    openIdUrl: `${base}/openid`,
    standing,
    calls,
    chats,
    rosters,
    misbehave: (how, on = /./) => mishaps.push({ how, on }),
    async stop() {
      server.close()
      server.closeAllConnections()
      await once(server, 'close')
    },
  }
}

function json(response: ServerResponse, status: number, body: unknown, retryAfter?: string): void {
  response
    .writeHead(status, {
      'content-type': 'application/json; charset=utf-8',
      ...(retryAfter === undefined ? {} : { 'retry-after': retryAfter }),
    })
    .end(JSON.stringify(body))
}

async function bodyOf(request: IncomingMessage): Promise<string> {
  const chunks: Buffer[] = []
  for await (const chunk of request) chunks.push(chunk as Buffer)
  return Buffer.concat(chunks).toString('utf8')
}
