import type { HomeView, KnownBlock } from '@slack/types'
import type { Card } from '../cards/card.js'
import { INPUT_WORDS } from '../cards/words-inputs-en.js'
import { SLACK } from './limits.js'
import { slackMessages } from './slack-blocks.js'

/**
 * A card as the app's own page in Slack. What it has no room for is said to be there.
 * @param channel the direct messages in which what is pressed there is answered
 */
export function slackHome(card: Card, channel: string): HomeView {
  const blocks = slackMessages(card).flatMap((message) => message.blocks)
  const room = SLACK.blocksPerHome - 1
  const more: KnownBlock = { type: 'context', elements: [{ type: 'plain_text', text: INPUT_WORDS.moreThanShown, emoji: false }] }
  return {
    type: 'home',
    private_metadata: JSON.stringify({ channel }),
    blocks: blocks.length <= SLACK.blocksPerHome ? blocks : [...blocks.slice(0, room), more],
  }
}
