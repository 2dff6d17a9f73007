/**
 * What Slack wants granted, for the methods and events that a bot like this may use
 * (docs.slack.dev/reference/methods and /events, "Required scopes"). What reads a channel asks for the scope of its kind:
 * channels:read for a public one, groups:read for a private one (api.slack.com/conversations-api, read 2026-11-28).
 */
const METHOD_SCOPES: Readonly<Record<string, readonly string[]>> = {
  'auth.test': [],
  'users.info': ['users:read'],
  'users.list': ['users:read'],
  'usergroups.list': ['usergroups:read'],
  'chat.postMessage': ['chat:write'],
  'chat.postEphemeral': ['chat:write'],
  'chat.update': ['chat:write'],
  'chat.delete': ['chat:write'],
  'conversations.history': ['channels:history', 'groups:history', 'im:history'],
  'conversations.replies': ['channels:history', 'groups:history', 'im:history'],
  'conversations.open': ['im:write'],
  'conversations.info': ['channels:read', 'groups:read'],
  'conversations.members': ['channels:read', 'groups:read'],
  'chat.getPermalink': [],
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

/** The scope that this one call needs. `isPrivate`: a channel whose id looks like that of an open one. */
export function scopeOfCall(method: string, channel: string, isPrivate = false): string | undefined {
  const scopes = METHOD_SCOPES[method] ?? []
  if (scopes.length < 2) return scopes[0]
  const kind = channel.startsWith('D') ? 'im' : isPrivate || channel.startsWith('G') ? 'groups' : 'channels'
  return `${kind}:${scopes[0]?.split(':')[1]}`
}
