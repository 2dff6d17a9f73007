import type { IncomingMessage, ServerResponse } from 'node:http'
import { type ActivityEnvelope, activityEnvelope } from './payloads.js'
import { tenantOf } from './translation.js'

/** Teams itself takes no message above about 100 KB. */
export const MOST_BODY_BYTES = 1_000_000

/** A request answered with this status and nothing else. */
export interface Turned {
  readonly status: 400 | 401 | 403 | 405 | 413
  /** For the log; holds nothing of what was sent. */
  readonly because: string
}

export interface Passed {
  readonly body: unknown
  readonly envelope: ActivityEnvelope
  readonly tenant: string
  readonly authorization: string
}

export interface GateRules {
  readonly issuer: string
  readonly trusted: (serviceUrl: string) => boolean
  readonly tenants: readonly string[]
}

/**
 * What stands in front of the framework's own check of the signature. The framework takes tokens that never expire and
 * tokens that the bot itself could get, sends the bot's token wherever an activity says, hears every tenant, and breaks
 * on activities of another form.
 */
export async function passesGate(request: IncomingMessage, rules: GateRules): Promise<Passed | Turned> {
  if (request.method !== 'POST') return { status: 405, because: 'not a POST' }
  const { authorization } = request.headers
  if (authorization === undefined || !channelToken(authorization, rules.issuer))
    return { status: 401, because: 'no token of the channel that expires' }

  const text = await bodyOf(request)
  if (text === undefined) return { status: 413, because: 'a body over the limit' }
  const body = parsed(text)
  const envelope = activityEnvelope.safeParse(body)
  if (!envelope.success) return { status: 400, because: `an activity of another form: ${places(envelope.error.issues)}` }

  const { data } = envelope
  if (!rules.trusted(data.serviceUrl)) return { status: 403, because: 'a service address that is not trusted' }
  const tenant = tenantOf(data)
  const named = [data.channelData?.tenant?.id, data.conversation.tenantId].filter((id) => id !== undefined)
  if (tenant === undefined || !named.every((id) => rules.tenants.includes(id)))
    return { status: 403, because: 'a tenant that is not among those heard' }
  return { body, envelope: data, tenant, authorization }
}

export function turnAway(response: ServerResponse, { status }: Turned): void {
  response.writeHead(status, {
    ...(status === 405 ? { allow: 'POST' } : {}),
    // what is left of an oversized body is not waited for
    ...(status === 413 ? { connection: 'close' } : {}),
  })
  response.end()
}

/** Of the channel itself, with an end. The signature is checked afterwards, by the framework. */
function channelToken(authorization: string, issuer: string): boolean {
  const [scheme, token, ...rest] = authorization.split(' ')
  if (scheme !== 'Bearer' || token === undefined || rest.length > 0) return false
  const claims = parsed(Buffer.from(token.split('.')[1] ?? '', 'base64url').toString('utf8'))
  return (
    typeof claims === 'object' &&
    claims !== null &&
    'iss' in claims &&
    claims.iss === issuer &&
    'exp' in claims &&
    typeof claims.exp === 'number'
  )
}

async function bodyOf(request: IncomingMessage): Promise<string | undefined> {
  if (Number(request.headers['content-length'] ?? 0) > MOST_BODY_BYTES) return undefined
  const chunks: Buffer[] = []
  let length = 0
  for await (const chunk of request) {
    length += (chunk as Buffer).length
    if (length > MOST_BODY_BYTES) return undefined
    chunks.push(chunk as Buffer)
  }
  return Buffer.concat(chunks).toString('utf8')
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}

/** Names of fields of ours, never what they held. */
const places = (issues: readonly { readonly path: readonly PropertyKey[] }[]): string =>
  [...new Set(issues.map(({ path }) => path.join('.') || 'not an object'))].join(', ')
