/**
 * What the app asks of a tenant, and why. deploy/teams-manifest.json carries exactly these; a test holds the two together.
 */

/** Where it can be added: a team's channels, group chats, and a person's own chat, in which previews are shown. */
export const BOT_SCOPES = ['team', 'groupChat', 'personal'] as const

/**
 * Without this a bot hears in a channel only what names it: not even the replies under its own card, so that opinions
 * typed there would be lost. With it Teams delivers every message of the channels; those outside threads in which a
 * consult hangs are dropped before anything is stored.
 */
export const RESOURCE_PERMISSIONS = ['ChannelMessage.Read.Group'] as const

/** What the menu offers; each is understood when it is sent as it stands. */
export const COMMANDS = ['help', 'home', 'find', 'me:'] as const
