/**
 * What Slack wants granted, for the methods and events that a bot like this may use
 * (docs.slack.dev/reference/methods and /events, "Required scopes"). History asks for the scope of the kind of channel read.
 */
const METHOD_SCOPES: Readonly<Record<string, readonly string[]>> = {
  'auth.test': [],
  'users.info': ['users:read'],
  'chat.postMessage': ['chat:write'],
  'chat.postEphemeral': ['chat:write'],
  'chat.update': ['chat:write'],
  'chat.delete': ['chat:write'],
  'conversations.history': ['channels:history', 'groups:history', 'im:history'],
  'conversations.replies': ['channels:history', 'groups:history', 'im:history'],
  'conversations.open': ['im:write'],
  'files.getUploadURLExternal': ['files:write'],
  'files.completeUploadExternal': ['files:write'],
  'files.info': ['files:read'],
  'views.open': [],
  'views.update': [],
  'views.publish': [],
}

const EVENT_SCOPES: Readonly<Record<string, readonly string[]>> = {
  app_mention: ['app_mentions:read'],
  app_home_opened: [],
  'message.channels': ['channels:history'],
  'message.groups': ['groups:history'],
  'message.im': ['im:history'],
  'message.mpim': ['mpim:history'],
}

/** For slash commands and shortcuts. */
export const INTERACTION_SCOPE = 'commands'

/** Every scope that a method may ask for; undefined where Slack, as far as it is known here, has no such method. */
export const scopesOfMethod = (method: string): readonly string[] | undefined => METHOD_SCOPES[method]

export const scopesOfEvent = (event: string): readonly string[] | undefined => EVENT_SCOPES[event]

/** The scope that this one call needs. */
export function scopeOfCall(method: string, channel: string): string | undefined {
  const scopes = METHOD_SCOPES[method] ?? []
  if (scopes.length < 2) return scopes[0]
  if (channel.startsWith('D')) return 'im:history'
  return channel.startsWith('G') ? 'groups:history' : 'channels:history'
}
