import { fromAction } from './from-action.js'
import { fromChange } from './from-change.js'
import { fromCommand } from './from-command.js'
import { fromHome } from './from-home.js'
import { fromMessage } from './from-message.js'
import { fromShortcut } from './from-shortcut.js'
import { fromView } from './from-view.js'
import {
  blockActions,
  changeEnvelope,
  homeOpened,
  messageEnvelope,
  messageShortcut,
  slashCommand,
  viewSubmission,
} from './payloads.js'
import type { Bot, Translation } from './translation.js'

/** Slack's body, of whatever kind, into what it means here. Pure: no look-ups, no clock. */
export function translate(body: unknown, bot: Bot): Translation {
  const change = changeEnvelope.safeParse(body)
  if (change.success) return fromChange(change.data, bot)
  const message = messageEnvelope.safeParse(body)
  if (message.success) return fromMessage(message.data, bot)
  const action = blockActions.safeParse(body)
  if (action.success) return fromAction(action.data)
  const submission = viewSubmission.safeParse(body)
  if (submission.success) return fromView(submission.data)
  const home = homeOpened.safeParse(body)
  if (home.success) return fromHome(home.data)
  const command = slashCommand.safeParse(body)
  if (command.success) return fromCommand(command.data, bot)
  const shortcut = messageShortcut.safeParse(body)
  if (shortcut.success) return fromShortcut(shortcut.data, bot)
  return { kind: 'nothing', because: `not a kind of delivery that is read here: ${kindOf(body)}`, unread: true }
}

/** The kind alone, for the log: a payload's own words for its type, and nothing it carries. */
function kindOf(body: unknown): string {
  const named = (thing: unknown, key: string): string | undefined => {
    if (typeof thing !== 'object' || thing === null) return undefined
    const value = (thing as Record<string, unknown>)[key]
    return typeof value === 'string' && /^[a-z_./]{1,60}$/.test(value) ? value : undefined
  }
  const event = typeof body === 'object' && body !== null ? (body as Record<string, unknown>)['event'] : undefined
  return named(event, 'type') ?? named(body, 'type') ?? (named(body, 'command') ? 'slash command' : 'unknown')
}
