import type { KnownBlock } from '@slack/types'

/** One message as Slack takes it: `text` for notifications and screen readers, blocks for the eye. */
export interface SlackMessage {
  readonly text: string
  readonly blocks: readonly KnownBlock[]
}
