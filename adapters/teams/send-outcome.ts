import type { SendOutcome } from '../../src/desk/ports.js'

export type Failure = Exclude<SendOutcome, { outcome: 'sent' }>

/** Marks a failure to get the bot's own token. */
export const NO_TOKEN = 'NO_TOKEN'

/** Failures that happen before a byte of the request is out. */
const NEVER_LEFT = new Set([
  'ECONNREFUSED',
  'ENOTFOUND',
  'EAI_AGAIN',
  'EHOSTUNREACH',
  'ENETUNREACH',
  'CERT_HAS_EXPIRED',
  'DEPTH_ZERO_SELF_SIGNED_CERT',
  'SELF_SIGNED_CERT_IN_CHAIN',
  'UNABLE_TO_VERIFY_LEAF_SIGNATURE',
  'ERR_TLS_CERT_ALTNAME_INVALID',
])

const REFUSALS: Readonly<Record<number, string>> = {
  400: 'Teams does not take the form of this message',
  403: 'Teams does not let the bot write here: add the app to this team or chat, then try again',
  404: 'the conversation or message is gone, or the bot is no longer in it',
  405: 'Teams does not let this message be changed',
  413: 'the message is longer than Teams takes',
}

const PAUSE_MS = 30_000
/** What is wrong with the installation, not with the message: it can be sent once somebody has mended that. */
const INSTALLATION_RETRY_MS = 300_000

/**
 * What is known after a call that failed. "Unknown" wherever Teams may have the message: it cannot be asked, so such a
 * send is shown to a person and never repeated on its own.
 */
export function outcomeOfFailure(fault: unknown): Failure {
  const code = field(fault, 'code')
  if (code === NO_TOKEN)
    return {
      outcome: 'not-sent',
      retryAfterMs: INSTALLATION_RETRY_MS,
      because: 'the bot gets no token to speak with: check MicrosoftAppId, MicrosoftAppPassword and MicrosoftAppTenantId',
    }
  const status = field(fault, 'statusCode')
  if (typeof status === 'number') return outcomeOfStatus(status, retryAfterIn(fault))
  if (typeof code === 'string' && NEVER_LEFT.has(code))
    return { outcome: 'not-sent', retryAfterMs: 5_000, because: `Teams could not be reached (${code})` }
  const reason =
    typeof code === 'string' ? code : fault instanceof Error && fault.name === 'AbortError' ? 'timeout' : 'no reason given'
  return { outcome: 'unknown', because: `the connection broke before Teams answered (${reason})` }
}

export function outcomeOfStatus(status: number, retryAfterMs = PAUSE_MS): Failure {
  if (status === 429) return { outcome: 'not-sent', retryAfterMs, because: 'Teams asked for a pause' }
  if (status === 401)
    return {
      outcome: 'not-sent',
      retryAfterMs: INSTALLATION_RETRY_MS,
      because: 'Teams does not accept the bot’s token: check the app’s registration (401)',
    }
  // 412 stands among the ones to try again in Teams' own list, without saying whether anything was done
  if (status >= 500 || status === 408 || status === 412 || status < 400)
    return { outcome: 'unknown', because: `Teams answered ${status}` }
  return { outcome: 'refused', because: `${REFUSALS[status] ?? 'Teams refused the message'} (${status})` }
}

/** In seconds or as a date, by RFC 9110. */
function retryAfterIn(fault: unknown): number | undefined {
  const headers = field(field(fault, 'response'), 'headers')
  const get = field(headers, 'get')
  const stated: unknown = typeof get === 'function' ? Reflect.apply(get, headers, ['retry-after']) : undefined
  if (typeof stated !== 'string' || stated.trim() === '') return undefined
  const seconds = Number(stated)
  const ms = Number.isFinite(seconds) ? seconds * 1000 : Date.parse(stated) - Date.now()
  return Number.isFinite(ms) ? Math.max(0, ms) : undefined
}

const field = (thing: unknown, name: string): unknown =>
  typeof thing === 'object' && thing !== null ? Reflect.get(thing, name) : undefined
