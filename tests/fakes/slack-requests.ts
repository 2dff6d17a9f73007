import { createHmac } from 'node:crypto'
import { BOT } from './slack-api.js'

export const SIGNING_SECRET = 'loopback-signing-secret'

/** Slack's signature: HMAC-SHA256 of `v0:time:body` (docs.slack.dev/authentication/verifying-requests-from-slack). */
export function signature(body: string, timestamp: string, secret = SIGNING_SECRET): string {
  return `v0=${createHmac('sha256', secret).update(`v0:${timestamp}:${body}`).digest('hex')}`
}

export interface Sending {
  readonly secret?: string
  /** Seconds from now that the request claims to have been made. */
  readonly skewSeconds?: number
  readonly unsigned?: boolean
  readonly contentType?: string
  readonly retryNumber?: number
}

/** Sends a body as Slack does: events as JSON, everything else as a form. */
export function deliver(url: string, payload: object, how: Sending = {}): Promise<Response> {
  const event = 'event' in payload || ('type' in payload && payload.type === 'url_verification')
  const interaction = !event && !('command' in payload)
  const body = event
    ? JSON.stringify(payload)
    : new URLSearchParams(interaction ? { payload: JSON.stringify(payload) } : (payload as Record<string, string>)).toString()
  const timestamp = String(Math.floor(Date.now() / 1000) + (how.skewSeconds ?? 0))
  return fetch(url, {
    method: 'POST',
    body,
    headers: {
      'content-type': how.contentType ?? (event ? 'application/json' : 'application/x-www-form-urlencoded'),
      'x-slack-request-timestamp': timestamp,
      ...(how.unsigned ? {} : { 'x-slack-signature': signature(body, timestamp, how.secret) }),
      ...(how.retryNumber === undefined
        ? {}
        : { 'x-slack-retry-num': String(how.retryNumber), 'x-slack-retry-reason': 'http_timeout' }),
    },
  })
}

interface Said {
  readonly text: string
  readonly channel?: string
  readonly user?: string
  readonly ts?: string
  readonly more?: object
  readonly eventId?: string
}

/** An `event_callback` as the Events API sends it, with the fields that are not read here left in. */
export function messageEvent({
  text,
  channel = 'C0001',
  user = 'U0001',
  ts = '1790000100.000100',
  more = {},
  eventId = 'Ev0001',
}: Said) {
  return {
    token: 'verification-token',
    team_id: BOT.team,
    api_app_id: 'A0001',
    event: {
      type: 'message',
      user,
      text,
      ts,
      channel,
      channel_type: channel.startsWith('D') ? 'im' : 'channel',
      event_ts: ts,
      client_msg_id: '00000000-0000-4000-8000-000000000001',
      blocks: [],
      ...more,
    },
    type: 'event_callback',
    event_id: eventId,
    event_time: 1_790_000_100,
    authorizations: [{ enterprise_id: null, team_id: BOT.team, user_id: BOT.userId, is_bot: true, is_enterprise_install: false }],
    is_ext_shared_channel: false,
    event_context: '4-context',
  }
}

export function slashCommand(text: string, more: Readonly<Record<string, string>> = {}): Record<string, string> {
  return {
    token: 'verification-token',
    team_id: BOT.team,
    team_domain: 'lantern-quay',
    channel_id: 'C0001',
    channel_name: 'second-opinions',
    user_id: 'U0001',
    user_name: 'r.vale',
    command: '/soundings',
    text,
    api_app_id: 'A0001',
    is_enterprise_install: 'false',
    trigger_id: '1111.2222.aaaa',
    ...more,
  }
}

export function messageShortcut(text: string, more: object = {}) {
  return {
    type: 'message_action',
    token: 'verification-token',
    action_ts: '1790000200.123456',
    team: { id: BOT.team, domain: 'lantern-quay' },
    user: { id: 'U0002', name: 'o.finch', username: 'o.finch', team_id: BOT.team },
    channel: { id: 'C0001', name: 'second-opinions' },
    is_enterprise_install: false,
    enterprise: null,
    callback_id: 'ask_about_this_case',
    trigger_id: '1111.3333.bbbb',
    message_ts: '1790000150.000100',
    message: { type: 'message', user: 'U0001', ts: '1790000150.000100', text },
    ...more,
  }
}

export function buttonPress(value: string | undefined, more: object = {}) {
  return {
    type: 'block_actions',
    user: { id: 'U0002', username: 'o.finch', name: 'o.finch', team_id: BOT.team },
    api_app_id: 'A0001',
    token: 'verification-token',
    container: { type: 'message', message_ts: '1790000160.000100', channel_id: 'C0001', is_ephemeral: false },
    trigger_id: '1111.4444.cccc',
    team: { id: BOT.team, domain: 'lantern-quay' },
    enterprise: null,
    is_enterprise_install: false,
    channel: { id: 'C0001', name: 'second-opinions' },
    message: { type: 'message', bot_id: BOT.botId, ts: '1790000160.000100', thread_ts: '1790000160.000100', text: '' },
    actions: [
      {
        type: 'button',
        action_id: 'choice-0',
        block_id: 'b1',
        text: { type: 'plain_text', text: 'Agree', emoji: true },
        action_ts: '1790000170.654321',
        ...(value === undefined ? {} : { value }),
      },
    ],
    ...more,
  }
}
