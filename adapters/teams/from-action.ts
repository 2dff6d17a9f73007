import { readChoiceAction } from '../../src/cards/choice-action.js'
import { type MessageActivity, submitted } from './payloads.js'
import { conversationOf, nameOf, personId, replyTo, type Translation, threadOf, withoutThread } from './translation.js'

/** A pressed button. Its value says what it does; a value that is not understood is answered, never passed over. */
export function fromAction(activity: MessageActivity, tenant: string): Translation {
  const conversation = conversationOf(activity, tenant)
  const { kind, id: channel } = conversation
  const { root } = withoutThread(activity.conversation.id)
  const value = submitted.safeParse(activity.value).data
  const does = value?.soundings === undefined ? undefined : readChoiceAction(JSON.stringify(value.soundings))
  const card = activity.replyToId ?? undefined
  // a preview that has been posted or cancelled makes room for the answer, so that its buttons are not pressed again
  const replaces = does?.action === 'post-draft' || does?.action === 'cancel-draft'
  const reply = replyTo(conversation, activity, {
    ...(kind === 'channel' && root !== undefined ? { thread: root } : {}),
    ...(kind === 'personal' && replaces && card !== undefined ? { replaces: card } : {}),
  })
  if (does === undefined) return { kind: 'unknown-button', conversation, reply }

  // a preview shown in the personal chat belongs to the channel that it was asked for in; the tenant stays the verified one
  const askedIn = kind === 'personal' ? value?.askedIn : undefined
  const here = askedIn ?? { channel, ...(kind === 'channel' ? threadOf(root, card) : {}) }
  const sentence = value?.sentence?.trim()
  return {
    kind: 'delivery',
    key: `teams:submit:${channel}:${card ?? 'none'}:${activity.from.aadObjectId ?? activity.from.id}:${activity.id}`,
    conversation,
    strangersThread: false,
    inbound: {
      kind: 'choice',
      does,
      ...(sentence ? { sentence } : {}),
      by: { id: personId(tenant, activity.from), name: nameOf(activity.from) },
      place: {
        platform: 'teams',
        workspace: tenant,
        channel: here.channel,
        ...(here.thread === undefined ? {} : { thread: here.thread }),
      },
      reply,
    },
  }
}
