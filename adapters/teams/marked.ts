import type { Mentioned } from '../../src/desk/ports.js'
import { decoded } from './html-entities.js'
import type { MessageActivity } from './payloads.js'

/** Before the platform's id of a tag, in our id of it. */
export const TAG = 'tag:'

/** Whom a message marks, the bot left out. Teams marks people by an id of the bot's own, and tells nobody who is in a tag. */
export function markedIn(
  { entities, recipient }: Pick<MessageActivity, 'entities' | 'recipient'>,
  tenant: string,
): readonly Mentioned[] {
  return entities.flatMap(({ mentioned, text }): readonly Mentioned[] => {
    const said = decoded(mentioned.name ?? text?.replace(/<\/?at[^<>]*>/g, '') ?? '').trim()
    if (mentioned.id === recipient.id || said === '') return []
    const isTag = mentioned.type === 'tag'
    return [{ said, kind: isTag ? 'group' : 'person', id: `teams:${tenant}:${isTag ? TAG : ''}${mentioned.id}` }]
  })
}
