import { fromAction } from './from-action.js'
import { type InvokeActivity, submitted } from './payloads.js'
import type { Translation } from './translation.js'

/**
 * A dialog over the chat: wanted by a button, or sent with its answers. It carries what the button carried, so that it
 * means the same; `dialog` names the press that opened it, since its answers come back without the card they belong to.
 */
export function fromInvoke(activity: InvokeActivity, tenant: string): Translation {
  const { name, value } = activity
  if (name !== 'task/fetch' && name !== 'task/submit')
    return { kind: 'nothing', because: `not something that is invoked here: ${named(name)}`, unread: true }
  const opened = submitted.safeParse(value.data).data?.dialog
  const dialog = opened ?? activity.id
  const said = fromAction({ ...activity, value: value.data, replyToId: opened ?? activity.replyToId }, tenant)
  if (said.kind === 'open-form') return { ...said, dialog }
  return said.kind === 'delivery' && said.inbound.kind === 'form' ? { ...said, dialog } : said
}

/** The kind alone, for the log. */
const named = (name: string): string => (/^[a-zA-Z/]{1,60}$/.test(name) ? name : 'unknown')
