import { createHash } from 'node:crypto'
import { readChoiceAction } from '../../src/cards/choice-action.js'
import type { Conversation } from '../../src/desk/store.js'
import { submittedAnswers } from '../../src/views/adaptive-form.js'
import { type ActivityEnvelope, submitted } from './payloads.js'
import { conversationOf, nameOf, personId, replyTo, type Translation, threadOf, withoutThread } from './translation.js'

interface Pressed extends ActivityEnvelope {
  /** What the button carries. */
  readonly value?: unknown
  readonly replyToId?: string | null | undefined
}

/** A pressed button. Its value says what it does; a value that is not understood is answered, never passed over. */
export function fromAction(activity: Pressed, tenant: string): Translation {
  const conversation = conversationOf(activity, tenant)
  const { kind, id: channel } = conversation
  const { root } = withoutThread(activity.conversation.id)
  const value = submitted.safeParse(activity.value).data
  const does = value?.soundings === undefined ? undefined : readChoiceAction(JSON.stringify(value.soundings))
  const answers = submittedAnswers(activity.value)
  const card = activity.replyToId ?? undefined
  // a preview that has been posted or cancelled makes room for the answer, so that its buttons are not pressed again
  const replaces = does?.action === 'post-draft' || does?.action === 'cancel-draft'
  const reply = replyTo(conversation, activity, {
    ...(kind === 'channel' && root !== undefined ? { thread: root } : {}),
    ...(kind === 'personal' && replaces && card !== undefined ? { replaces: card } : {}),
  })
  if (does === undefined && answers === undefined) return { kind: 'unknown-button', conversation, reply }

  const about = {
    by: { id: personId(tenant, activity.from), name: nameOf(activity.from) },
    place: { platform: 'teams', workspace: tenant, ...askedIn(conversation, value, root, card) } as const,
    reply,
  }
  const claimed = about.place.channel === channel ? {} : ({ claimed: true } as const)
  const pressed = `${channel}:${card ?? 'none'}:${activity.from.aadObjectId ?? activity.from.id}`
  if (answers !== undefined) {
    // the same answers of the same card are a second press; others are a correction
    const said = createHash('sha256').update(JSON.stringify(answers)).digest('base64url').slice(0, 22)
    const inbound = { kind: 'form', ...answers, ...about } as const
    return { kind: 'delivery', key: `teams:form:${pressed}:${said}`, conversation, strangersThread: false, inbound, ...claimed }
  }
  if (does === undefined) return { kind: 'unknown-button', conversation, reply }

  const key = `teams:submit:${pressed}:${activity.id}`
  const sentence = value?.sentence?.trim()
  const inbound = { kind: 'choice', does, ...(sentence ? { sentence } : {}), ...about } as const
  if (does.action === 'open-form') return { kind: 'open-form', key, inbound, does, conversation, ...claimed }
  return { kind: 'delivery', key, conversation, strangersThread: false, inbound, ...claimed }
}

/** What is shown in the personal chat belongs to the channel that it was asked for in; the tenant stays the verified one. */
function askedIn(
  { kind, id: channel }: Conversation,
  value: ReturnType<typeof submitted.parse> | undefined,
  root: string | undefined,
  card: string | undefined,
): { readonly channel: string; readonly thread?: string } {
  const { channel: elsewhere, thread } = (kind === 'personal' ? value?.askedIn : undefined) ?? {}
  if (elsewhere !== undefined) return { channel: elsewhere, ...(thread === undefined ? {} : { thread }) }
  return { channel, ...(kind === 'channel' ? threadOf(root, card) : {}) }
}
