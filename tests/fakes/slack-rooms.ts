export type Rooms = Readonly<Record<string, { readonly isPrivate?: boolean; readonly members: readonly string[] }>>

interface Workspace {
  readonly channels: readonly string[]
  readonly names?: Readonly<Record<string, string>>
  readonly rooms?: Rooms
}

/** What Slack says of a channel. A private channel that the bot is not in does not exist for it. */
export function roomCall(
  method: string,
  fields: Readonly<Record<string, string>>,
  { channels, names = {}, rooms = {} }: Workspace,
) {
  const channel = fields['channel'] ?? ''
  const room = rooms[channel]
  const isIn = channels.includes(channel)
  if (!isIn && room?.isPrivate !== false) return { ok: false, error: 'channel_not_found' }
  if (method === 'conversations.info') {
    const is_im = channel.startsWith('D')
    const is_private = room?.isPrivate ?? is_im
    return { ok: true, channel: { id: channel, is_im, is_mpim: false, is_private, is_member: isIn } }
  }
  // two on a page, so that paging is needed
  const members = room?.members ?? Object.keys(names)
  const from = Number(fields['cursor'] ?? 0)
  const next_cursor = from + 2 < members.length ? String(from + 2) : ''
  return { ok: true, members: members.slice(from, from + 2), response_metadata: { next_cursor } }
}
