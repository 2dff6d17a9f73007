import { APP_ID, TENANT } from './teams-tokens.js'

export const BOT_ID = `28:${APP_ID}`
export const CHANNEL = '19:channel0001@thread.tacv2'
export const GROUP = '19:group0001@thread.v2'
export const PERSONAL = 'a:personal0001'
const AT_BOT = '<at>Soundings</at>'

export const ROWAN = { id: '29:rowan', name: 'Rowan Vale', aadObjectId: 'bbbbbbbb-0000-4000-8000-000000000001' }
export const ODILE = { id: '29:odile', name: 'Odile Finch', aadObjectId: 'bbbbbbbb-0000-4000-8000-000000000002' }

export const mentionOfBot = {
  type: 'mention',
  mentioned: { id: BOT_ID, name: 'Soundings' },
  text: AT_BOT,
}

interface Sent {
  readonly serviceUrl?: string
  readonly id?: string
  readonly from?: object
  readonly more?: object
}

/** An activity as Teams sends it, with fields that are not read here left in. */
function activity<Where extends { readonly conversation: object }>(
  where: Where,
  { serviceUrl = 'https://smba.trafficmanager.net/emea/', id = '1790000100000', from = ROWAN, more = {} }: Sent,
) {
  return {
    type: 'message',
    id,
    timestamp: '2026-11-24T10:00:00.000Z',
    localTimestamp: '2026-11-24T10:00:00.000Z',
    channelId: 'msteams',
    serviceUrl,
    from,
    recipient: { id: BOT_ID, name: 'Soundings' },
    textFormat: 'plain',
    locale: 'en-GB',
    entities: [{ type: 'clientInfo', locale: 'en-GB', country: 'GB', platform: 'iOS', timezone: 'Europe/London' }],
    ...where,
    ...more,
  }
}

const html = (content: string) => [{ contentType: 'text/html', content }]

/** @param root first message of the thread; the message itself where it begins one */
export function channelMessage(
  text: string,
  {
    mention = true,
    root,
    content,
    ...sent
  }: Sent & { readonly mention?: boolean; readonly root?: string; readonly content?: string } = {},
) {
  const id = sent.id ?? '1790000100000'
  return activity(
    {
      text: mention ? `${AT_BOT} ${text}` : text,
      conversation: { id: `${CHANNEL};messageid=${root ?? id}`, conversationType: 'channel', isGroup: true, tenantId: TENANT },
      channelData: { tenant: { id: TENANT }, team: { id: '19:team@thread.tacv2' }, channel: { id: CHANNEL } },
      ...(mention ? { entities: [mentionOfBot] } : {}),
      ...(content === undefined ? {} : { attachments: html(content) }),
    },
    sent,
  )
}

export function groupMessage(text: string, sent: Sent = {}) {
  return activity(
    {
      text: `${AT_BOT} ${text}`,
      conversation: { id: GROUP, conversationType: 'groupChat', isGroup: true, tenantId: TENANT },
      channelData: { tenant: { id: TENANT } },
      entities: [mentionOfBot],
    },
    sent,
  )
}

export function personalMessage(text: string, { content, ...sent }: Sent & { readonly content?: string } = {}) {
  return activity(
    {
      text,
      conversation: { id: PERSONAL, conversationType: 'personal', tenantId: TENANT },
      channelData: { tenant: { id: TENANT } },
      ...(content === undefined ? {} : { attachments: html(content) }),
    },
    sent,
  )
}

/** A pressed button: a message without text that carries the button's data and the card it stood on. */
export function buttonPress(
  value: unknown,
  { personal = false, card = '1790000050000', ...sent }: Sent & { readonly personal?: boolean; readonly card?: string } = {},
) {
  const base = personal
    ? personalMessage('', { from: ODILE, id: 'f:press0001', ...sent })
    : channelMessage('', { mention: false, root: card, from: ODILE, id: 'f:press0001', ...sent })
  return { ...base, text: undefined, replyToId: card, value }
}

/**
 * A dialog as Teams invokes it: wanted by a button whose data asks for it, or sent with its answers among the data. What
 * is sent does not say which card it belongs to (learn.microsoft.com, use dialogs with bots).
 */
export function invoked(
  name: 'task/fetch' | 'task/submit',
  data: object,
  { personal = false, card = '1790000050000', ...sent }: Sent & { readonly personal?: boolean; readonly card?: string } = {},
) {
  const base = personal
    ? personalMessage('', { from: ODILE, id: 'f:invoke0001', ...sent })
    : channelMessage('', { mention: false, root: card, from: ODILE, id: 'f:invoke0001', ...sent })
  const value = { data: name === 'task/fetch' ? { ...data, type: 'task/fetch' } : data, context: { theme: 'default' } }
  return { ...base, type: 'invoke', name, text: undefined, value, ...(name === 'task/fetch' ? { replyToId: card } : {}) }
}

/** A message that was edited or deleted, as the channel's events tell it. */
export function changed(
  type: 'messageUpdate' | 'messageDelete',
  text: string,
  {
    at = '2026-11-24T10:05:00.000Z',
    root = '1790000050000',
    ...sent
  }: Sent & { readonly at?: string; readonly root?: string } = {},
) {
  const base = channelMessage(text, { mention: false, root, from: ODILE, id: '1790000060000', ...sent })
  const eventType = type === 'messageUpdate' ? 'editMessage' : 'softDeleteMessage'
  return {
    ...base,
    type,
    timestamp: at,
    text: type === 'messageUpdate' ? text : undefined,
    channelData: { ...base.channelData, eventType },
  }
}

export function botAdded(where: 'team' | 'personal', sent: Sent = {}) {
  const base = where === 'team' ? channelMessage('', { mention: false, ...sent }) : personalMessage('', sent)
  return {
    ...base,
    type: 'conversationUpdate',
    text: undefined,
    conversation:
      where === 'team' ? { id: CHANNEL, conversationType: 'channel', isGroup: true, tenantId: TENANT } : base.conversation,
    membersAdded: [{ id: BOT_ID }],
  }
}

export interface Sending {
  readonly token?: string
  readonly contentType?: string
}

/** Delivers a body as Teams does. */
export function deliver(
  url: string,
  body: unknown,
  { token, contentType = 'application/json; charset=utf-8' }: Sending = {},
): Promise<Response> {
  return fetch(url, {
    method: 'POST',
    body: typeof body === 'string' ? body : JSON.stringify(body),
    headers: { 'content-type': contentType, ...(token === undefined ? {} : { authorization: `Bearer ${token}` }) },
  })
}
