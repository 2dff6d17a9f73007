import type { AdaptiveMessage } from '../../src/views/adaptive-card.js'
import { inertText } from '../../src/views/inert-text.js'
import { TAG } from './marked.js'

/** Who is told of a note. */
interface Mentioned {
  readonly id: string
  readonly name: string
  readonly type?: 'tag'
}

/** Somebody by our id of a person; names are not looked up in a directory, whose reading the app does not ask for. */
async function mentionedBy(
  named: string,
  tenant: string,
  nameOf: (id: string) => Promise<string | undefined>,
): Promise<Mentioned | string | undefined> {
  const [platform, ofTenant, id] = named.split(':')
  if (!/^(?:slack|teams|web)$/.test(platform ?? '') || id === undefined) return named
  if (platform !== 'teams' || ofTenant !== tenant) return undefined
  const name = await nameOf(named)
  if (name === undefined) return undefined
  const theirs = named.slice(`teams:${tenant}:`.length)
  return theirs.startsWith(TAG) ? { id: theirs.slice(TAG.length), name, type: 'tag' } : { id: theirs, name }
}

/**
 * The message with whom it is for above it, so that Teams tells them. Inside a card only the mark in the text and the
 * entity together make a mention; the directory's id of a person is one that Teams takes.
 */
export async function withMentions(
  message: AdaptiveMessage,
  tenant: string,
  mentions: readonly string[],
  nameOf: (id: string) => Promise<string | undefined>,
): Promise<{ readonly summary: string; readonly card: unknown }> {
  const found = (await Promise.all(mentions.map((named) => mentionedBy(named, tenant, nameOf)))).filter(
    (one) => one !== undefined,
  )
  if (found.length === 0) return message
  const mark = ({ name }: Mentioned): string => `<at>${name.replace(/[<>&]/g, '')}</at>`
  const text = found.map((one) => (typeof one === 'string' ? inertText(one) : mark(one))).join(' ')
  const entities = found.flatMap((one) => (typeof one === 'string' ? [] : [{ type: 'mention', text: mark(one), mentioned: one }]))
  return {
    ...message,
    card: {
      ...message.card,
      body: [{ type: 'TextBlock', text, wrap: true }, ...message.card.body],
      ...(entities.length === 0 ? {} : { msteams: { entities } }),
    },
  }
}
