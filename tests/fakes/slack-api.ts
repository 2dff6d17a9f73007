import { once } from 'node:events'
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { faultIn } from './slack-blocks.js'
import type { Ephemeral, Misbehaviour, Posted } from './slack-messages.js'
import { type Rooms, roomCall } from './slack-rooms.js'
import { scopeOfCall, scopesOfMethod } from './slack-scopes.js'
import { type Surfaces, slackSurfaces } from './slack-surfaces.js'

/**
 * Slack's Web API on loopback, with the checks that the real one makes: token, scopes, membership, form-encoded bodies,
 * block schemas and sizes, whether a thread is there. It keeps what was posted, and can be told to misbehave.
 */
export const BOT = {
  token: 'xoxb-loopback',
  appToken: 'xapp-loopback',
  userId: 'UBOT0001',
  botId: 'BBOT0001',
  team: 'T0001',
} as const

export interface SlackApi {
  readonly url: string
  readonly posted: Posted[]
  readonly ephemeral: Ephemeral[]
  /** Modals, Home tabs and files. */
  readonly surfaces: Surfaces
  readonly calls: { readonly method: string; readonly fields: Readonly<Record<string, string>> }[]
  /** The next call of this method goes wrong in this way. `response_url` stands for the response addresses. */
  misbehave(method: string, how: Misbehaviour): void
  /** A response address; it serves five times. */
  responseUrl(): string
  /** Where Socket Mode is to connect. */
  socketUrl: string
  stop(): Promise<void>
}

export async function startSlackApi(options: {
  readonly scopes: readonly string[]
  /** Channels the bot is in; direct messages with it begin with D. */
  readonly channels: readonly string[]
  readonly names?: Readonly<Record<string, string>>
  /** Absent: a plan without groups. */
  readonly userGroups?: readonly {
    readonly id: string
    readonly name: string
    readonly handle: string
    readonly users: readonly string[]
  }[]
  /** Channels that are private or that the bot is not in, and who is in them; the others are open and everybody named is in them. */
  readonly rooms?: Rooms
  /** Called when a call has been accepted and is about to be answered. */
  readonly heard?: (method: string) => void
}): Promise<SlackApi> {
  const posted: Posted[] = []
  const ephemeral: Ephemeral[] = []
  const calls: { method: string; fields: Record<string, string> }[] = []
  const planned = new Map<string, Misbehaviour[]>()
  const usesLeft = new Map<string, number>()
  const surfaces = slackSurfaces()
  let clock = Date.now() * 1_000
  const nextTs = () => {
    clock += 1_000
    return `${Math.floor(clock / 1_000_000)}.${String(clock % 1_000_000).padStart(6, '0')}`
  }

  const server = createServer((request, response) => {
    void handle(request, response)
  })
  // a picture drawn on a busy machine takes longer than the five seconds that an idle connection is kept by default
  server.keepAliveTimeout = 60_000
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  const origin = `http://127.0.0.1:${(server.address() as AddressInfo).port}`

  const api: SlackApi = {
    url: `${origin}/api/`,
    posted,
    ephemeral,
    surfaces,
    calls,
    misbehave(method, how) {
      planned.set(method, [...(planned.get(method) ?? []), how])
    },
    responseUrl() {
      const url = `${origin}/response/${usesLeft.size + 1}`
      usesLeft.set(url, 5)
      return url
    },
    socketUrl: '',
    async stop() {
      if (!server.listening) return
      server.closeAllConnections()
      server.close()
      await once(server, 'close')
    },
  }

  async function handle(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const path = request.url ?? ''
    const bytes = await bytesOf(request)
    const body = bytes.toString('utf8')
    const method = path.startsWith('/api/') ? path.slice('/api/'.length) : path.startsWith('/upload/') ? 'upload' : 'response_url'
    const how = planned.get(method)?.shift()
    if (how?.kind === 'cut') return void request.socket.destroy()
    if (how?.kind === 'slow') await new Promise((resolve) => setTimeout(resolve, how.ms))
    if (how?.kind === 'rate-limit') {
      response.writeHead(429, how.retryAfter === undefined ? {} : { 'retry-after': String(how.retryAfter) })
      return void response.end()
    }
    if (how?.kind === 'status') return void response.writeHead(how.status).end('a proxy’s words')
    if (how?.kind === 'body') return void response.writeHead(200).end(how.body)
    if (how?.kind === 'error') return json(response, { ok: false, error: how.error })

    if (path.startsWith('/upload/')) return void response.writeHead(surfaces.upload(path, bytes)).end('OK')
    if (method === 'response_url') return answerResponseUrl(`${origin}${path}`, body, response)
    const answer = call(method, request, body)
    if (how?.kind === 'lost-answer') return void request.socket.destroy()
    json(response, answer)
  }

  function call(method: string, request: IncomingMessage, body: string): unknown {
    if (method === 'apps.connections.open')
      return request.headers.authorization === `Bearer ${BOT.appToken}`
        ? { ok: true, url: api.socketUrl }
        : { ok: false, error: 'invalid_auth' }
    if (request.headers.authorization !== `Bearer ${BOT.token}`) return { ok: false, error: 'invalid_auth' }
    if (request.headers['content-type'] !== 'application/x-www-form-urlencoded') return { ok: false, error: 'invalid_form_data' }
    const fields = Object.fromEntries(new URLSearchParams(body))
    calls.push({ method, fields })
    options.heard?.(method)
    if (scopesOfMethod(method) === undefined) return { ok: false, error: 'unknown_method' }
    const scope = scopeOfCall(method, fields['channel'] ?? '', options.rooms?.[fields['channel'] ?? '']?.isPrivate)
    if (scope !== undefined && !options.scopes.includes(scope)) return { ok: false, error: 'missing_scope', needed: scope }
    switch (method) {
      case 'auth.test':
        return { ok: true, team_id: BOT.team, user_id: BOT.userId, bot_id: BOT.botId }
      case 'users.info': {
        const name = options.names?.[fields['user'] ?? '']
        return name === undefined
          ? { ok: false, error: 'user_not_found' }
          : { ok: true, user: { profile: { display_name: name } } }
      }
      case 'users.list':
        return {
          ok: true,
          members: Object.entries(options.names ?? {}).map(([id, display_name]) => ({ id, profile: { display_name } })),
          response_metadata: { next_cursor: '' },
        }
      case 'conversations.open':
        return open(fields['users'] ?? '')
      case 'chat.getPermalink': {
        const { channel = '', message_ts = '' } = fields
        return posted.some((one) => one.channel === channel && one.ts === message_ts)
          ? { ok: true, channel, permalink: `https://lantern-quay.slack.com/archives/${channel}/p${message_ts.replace('.', '')}` }
          : { ok: false, error: 'message_not_found' }
      }
      case 'usergroups.list':
        return options.userGroups === undefined
          ? { ok: false, error: 'plan_upgrade_required' }
          : { ok: true, usergroups: options.userGroups }
      case 'chat.postMessage':
        return post(fields)
      case 'chat.postEphemeral':
        return whisper(fields)
      case 'chat.update':
        return update(fields)
      case 'conversations.info':
      case 'conversations.members':
        return roomCall(method, fields, options)
      case 'conversations.history':
      case 'conversations.replies':
        return read(method, fields)
      default:
        return surfaces.call(method, fields, origin) ?? { ok: false, error: 'unknown_method' }
    }
  }

  /** Slack refuses a message whose picture it has not taken in yet. */
  const showsUnreadyFile = (blocks: string | undefined): boolean =>
    [...(blocks ?? '').matchAll(/"slack_file":\{"id":"([^"]+)"\}/g)].some(([, id]) => !surfaces.shows(id ?? ''))

  const isIn = (channel: string) => options.channels.includes(channel)

  /** A user's id stands for the direct messages with that user. */
  const roomOf = (channel: string) => (/^[UW]/.test(channel) ? `D${channel.slice(1)}` : channel)

  /** Opening what is open gives the same. Somebody who has left cannot be written to. */
  function open(user: string): unknown {
    if (options.names?.[user] === undefined) return { ok: false, error: 'user_not_found' }
    return { ok: true, no_op: true, already_open: true, channel: { id: roomOf(user) } }
  }

  function refusal(fields: Readonly<Record<string, string>>, channel: string): unknown {
    if (!isIn(channel) && !fields['channel']?.startsWith('U')) return { ok: false, error: 'not_in_channel' }
    if (!fields['text'] && !fields['blocks']) return { ok: false, error: 'no_text' }
    // text alone is a message too
    const fault = fields['blocks'] === undefined ? undefined : faultIn(JSON.parse(fields['blocks']))
    if (fault !== undefined) return { ok: false, error: fault.error, response_metadata: { messages: fault.messages } }
    if (showsUnreadyFile(fields['blocks'])) return { ok: false, error: 'invalid_blocks' }
    const thread = fields['thread_ts']
    const root = thread === undefined ? undefined : posted.find((one) => one.ts === thread && one.channel === channel)
    if (thread !== undefined && (root === undefined || root.thread_ts !== undefined))
      return { ok: false, error: 'thread_not_found' }
    return undefined
  }

  function post(fields: Readonly<Record<string, string>>): unknown {
    const channel = roomOf(fields['channel'] ?? '')
    const refused = refusal(fields, channel)
    if (refused !== undefined) return refused
    const message: Posted = {
      ts: nextTs(),
      channel,
      bot_id: BOT.botId,
      text: fields['text'] ?? '',
      blocks: JSON.parse(fields['blocks'] ?? '[]') as unknown[],
      ...(fields['thread_ts'] === undefined ? {} : { thread_ts: fields['thread_ts'] }),
      ...(fields['metadata'] === undefined ? {} : { metadata: JSON.parse(fields['metadata']) as unknown }),
    }
    posted.push(message)
    return { ok: true, channel, ts: message.ts, message }
  }

  function whisper(fields: Readonly<Record<string, string>>): unknown {
    const channel = fields['channel'] ?? ''
    const refused = refusal(fields, channel)
    if (refused !== undefined) return refused
    ephemeral.push({
      channel,
      user: fields['user'] ?? '',
      by: 'chat.postEphemeral',
      text: fields['text'] ?? '',
      blocks: JSON.parse(fields['blocks'] ?? '[]') as unknown[],
      ...(fields['thread_ts'] === undefined ? {} : { thread_ts: fields['thread_ts'] }),
    })
    return { ok: true, message_ts: nextTs() }
  }

  function update(fields: Readonly<Record<string, string>>): unknown {
    const message = posted.find((one) => one.ts === fields['ts'] && one.channel === fields['channel'])
    if (message === undefined) return { ok: false, error: 'message_not_found' }
    const fault = faultIn(JSON.parse(fields['blocks'] ?? '[]'))
    if (fault !== undefined) return { ok: false, error: fault.error, response_metadata: { messages: fault.messages } }
    if (showsUnreadyFile(fields['blocks'])) return { ok: false, error: 'invalid_blocks' }
    message.text = fields['text'] ?? ''
    message.blocks = JSON.parse(fields['blocks'] ?? '[]') as unknown[]
    return { ok: true, channel: message.channel, ts: message.ts }
  }

  function read(method: string, fields: Readonly<Record<string, string>>): unknown {
    const channel = fields['channel'] ?? ''
    if (!isIn(channel)) return { ok: false, error: 'not_in_channel' }
    const inThread = method === 'conversations.replies'
    const shown = posted
      .filter((one) => one.channel === channel)
      .filter((one) => (inThread ? one.ts === fields['ts'] || one.thread_ts === fields['ts'] : one.thread_ts === undefined))
      .filter((one) => Number(one.ts) >= Number(fields['oldest'] ?? 0) && Number(one.ts) <= Number(fields['latest'] ?? 1e12))
      .map(({ metadata, ...one }) => (fields['include_all_metadata'] === 'true' ? { ...one, metadata } : one))
    if (inThread && shown.length === 0) return { ok: false, error: 'thread_not_found' }
    return { ok: true, messages: inThread ? shown : shown.toReversed(), has_more: false }
  }

  function answerResponseUrl(url: string, body: string, response: ServerResponse): void {
    const left = usesLeft.get(url)
    if (left === undefined || left === 0) return void response.writeHead(404).end('used_url')
    usesLeft.set(url, left - 1)
    const said = JSON.parse(body) as { text: string; blocks: unknown[]; replace_original?: boolean }
    const fault = faultIn(said.blocks)
    if (fault !== undefined) return void response.writeHead(400).end(fault.error)
    ephemeral.push({
      channel: '',
      by: 'response_url',
      text: said.text,
      blocks: said.blocks,
      replaceOriginal: said.replace_original ?? false,
    })
    response.writeHead(200).end('ok')
  }

  return api
}

function json(response: ServerResponse, body: unknown): void {
  response.writeHead(200, { 'content-type': 'application/json; charset=utf-8' }).end(JSON.stringify(body))
}

async function bytesOf(request: IncomingMessage): Promise<Buffer> {
  const chunks: Buffer[] = []
  for await (const chunk of request) chunks.push(chunk as Buffer)
  return Buffer.concat(chunks)
}
