/**
 * What the app asks of a workspace, and why. deploy/slack-manifest.json carries exactly these; a test holds the two
 * together, and another that no other method is called.
 */

/** Each Web API method called, with the scopes it needs. For history Slack wants the one that fits the kind of channel. */
export const METHOD_SCOPES: Readonly<Record<string, readonly string[]>> = {
  'auth.test': [],
  'users.info': ['users:read'],
  'chat.postMessage': ['chat:write'],
  'chat.postEphemeral': ['chat:write'],
  'chat.update': ['chat:write'],
  'conversations.history': ['channels:history', 'groups:history', 'im:history'],
  'conversations.replies': ['channels:history', 'groups:history', 'im:history'],
}

/** Each event subscribed to, with its scope: mentions, replies in threads of public and private channels, direct messages. */
export const EVENT_SCOPES: Readonly<Record<string, string>> = {
  app_mention: 'app_mentions:read',
  'message.channels': 'channels:history',
  'message.groups': 'groups:history',
  'message.im': 'im:history',
}

/** The slash command and the message shortcut. */
export const INTERACTION_SCOPE = 'commands'

export const COMMAND = '/soundings'
