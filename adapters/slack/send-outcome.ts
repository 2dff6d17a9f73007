import { WebAPIHTTPError, WebAPIPlatformError, WebAPIRateLimitedError, WebAPIRequestError } from '@slack/web-api'
import type { SendOutcome } from '../../src/desk/ports.js'

/** Said of a call that Slack put off for its rate; the whole channel then rests. */
export const PAUSE = 'Slack asked for a pause'

export type Failure = Exclude<SendOutcome, { outcome: 'sent' }>

/** Failures that happen before a byte of the request is out. */
const NEVER_LEFT = new Set([
  'ECONNREFUSED',
  'ENOTFOUND',
  'EAI_AGAIN',
  'EHOSTUNREACH',
  'ENETUNREACH',
  'UND_ERR_CONNECT_TIMEOUT',
  'CERT_HAS_EXPIRED',
  'DEPTH_ZERO_SELF_SIGNED_CERT',
  'SELF_SIGNED_CERT_IN_CHAIN',
  'UNABLE_TO_VERIFY_LEAF_SIGNATURE',
  'ERR_TLS_CERT_ALTNAME_INVALID',
])

/** Slack says of these that part of the work may have been done, or does not say that none was. */
const MAYBE_DONE = new Set(['fatal_error', 'internal_error', 'service_unavailable', 'request_timeout'])

const LATER: Readonly<Record<string, number>> = {
  ratelimited: 30_000,
  rate_limited: 30_000,
  message_limit_exceeded: 60_000,
}

/** What is wrong with the installation, not with the message: it can be sent once somebody has mended that. */
const INSTALLATION: Readonly<Record<string, string>> = {
  invalid_auth: 'Slack does not accept the bot token',
  not_authed: 'Slack does not accept the bot token',
  token_revoked: 'the bot token has been revoked; install the app again',
  token_expired: 'the bot token has expired; install the app again',
  account_inactive: 'the bot has been switched off in this workspace',
  missing_scope: 'the app lacks a permission; install it again with deploy/slack-manifest.json',
}
const INSTALLATION_RETRY_MS = 300_000

const REFUSALS: Readonly<Record<string, string>> = {
  not_in_channel: 'the bot is not in this channel: invite the bot there',
  channel_not_found: 'the bot cannot see this channel: invite the bot there',
  user_not_in_channel: 'the person is not in this channel',
  is_archived: 'the channel is archived',
  restricted_action: 'the workspace does not let the bot post here',
  restricted_action_read_only_channel: 'only some people may post in this channel',
  restricted_action_thread_only_channel: 'only replies in threads are allowed in this channel',
  restricted_action_non_threadable_channel: 'threads are not allowed in this channel',
  thread_not_found: 'the message that the thread hangs from is gone',
  cannot_reply_to_message: 'this message takes no replies',
  message_not_found: 'the message is gone: somebody deleted it',
  cant_update_message: 'the message is not the bot’s own and cannot be changed',
  edit_window_closed: 'the workspace does not let this message be changed any more',
  msg_too_long: 'the message is longer than Slack takes',
  msg_blocks_too_long: 'the message is longer than Slack takes',
  invalid_blocks: 'Slack does not take the form of this message',
}

/**
 * What is known after a call that failed. "Unknown" wherever Slack may have the message: such a send is looked for,
 * never simply repeated.
 */
export function outcomeOfFailure(fault: unknown): Failure {
  if (fault instanceof WebAPIRateLimitedError)
    return { outcome: 'not-sent', retryAfterMs: fault.retryAfter * 1000, because: PAUSE }
  if (fault instanceof WebAPIPlatformError) return outcomeOfAnswer(fault.data.error)
  if (fault instanceof WebAPIHTTPError) return outcomeOfStatus(fault.statusCode)
  if (fault instanceof WebAPIRequestError) return outcomeOfNetwork(fault.original)
  // the library's words for a 429 that does not say how long to wait
  if (fault instanceof Error && fault.message.startsWith('Retry header did not contain'))
    return { outcome: 'not-sent', retryAfterMs: 30_000, because: PAUSE }
  return outcomeOfNetwork(fault)
}

/** `ok: false` with this error. The library also puts a body that is not JSON here, which tells nothing. */
export function outcomeOfAnswer(error: string): Failure {
  if (!/^[a-z][a-z0-9_]*$/.test(error)) return { outcome: 'unknown', because: 'Slack’s answer could not be read' }
  if (MAYBE_DONE.has(error)) return { outcome: 'unknown', because: `Slack reported a fault of its own (${error})` }
  const later = LATER[error]
  if (later !== undefined) return { outcome: 'not-sent', retryAfterMs: later, because: PAUSE }
  const mend = INSTALLATION[error]
  if (mend !== undefined) return { outcome: 'not-sent', retryAfterMs: INSTALLATION_RETRY_MS, because: `${mend} (${error})` }
  return { outcome: 'refused', because: REFUSALS[error] ?? `Slack refused the message (${error})` }
}

/** @param retryAfterSeconds how long Slack wants to be left alone; nothing or no number where it does not say */
export function outcomeOfStatus(status: number, retryAfterSeconds = 0): Failure {
  if (status === 429)
    return { outcome: 'not-sent', retryAfterMs: retryAfterSeconds > 0 ? retryAfterSeconds * 1000 : 30_000, because: PAUSE }
  if (status >= 500 || status === 408) return { outcome: 'unknown', because: `Slack answered ${status}` }
  return { outcome: 'refused', because: `Slack answered ${status}` }
}

export function outcomeOfNetwork(fault: unknown): Failure {
  const codes = codesOf(fault)
  if (codes.some((code) => NEVER_LEFT.has(code)))
    return { outcome: 'not-sent', retryAfterMs: 5_000, because: `Slack could not be reached (${codes.join(', ')})` }
  return { outcome: 'unknown', because: `the connection broke before Slack answered (${codes.join(', ') || 'no reason given'})` }
}

/** The codes along the chain of causes; a timeout has only a name. */
function codesOf(fault: unknown): readonly string[] {
  const codes: string[] = []
  for (let link = fault, depth = 0; link instanceof Error && depth < 5; link = link.cause, depth++) {
    const { code } = link as { code?: unknown }
    if (typeof code === 'string') codes.push(code)
    else if (link.name === 'TimeoutError') codes.push('timeout')
  }
  return codes
}
