import type { RichTextBlock } from '@slack/types'
import type { Card } from '../../src/cards/card.js'
import { withoutMentions } from '../../src/views/inert-text.js'
import { type SlackMessage, slackMessages } from '../../src/views/slack-blocks.js'
import type { NameBook } from './names.js'

/** Slack's id of somebody named by our id of a person or of a group, or by a name that is known. */
async function userOf(named: string, workspace: string, names: Pick<NameBook, 'idOf'>): Promise<string | undefined> {
  const [platform, team, user] = named.split(':')
  if (platform === 'slack' && user !== undefined) return team === workspace ? user : undefined
  return names.idOf(named)
}

/** A note's messages; the first begins with whom it is for, so that Slack tells them. Who cannot be mentioned is named. */
export async function noteMessages(
  card: Card,
  workspace: string,
  mentions: readonly string[],
  names: Pick<NameBook, 'idOf'>,
): Promise<readonly SlackMessage[]> {
  const [first, ...rest] = slackMessages(card)
  if (first === undefined || mentions.length === 0) return first === undefined ? [] : [first, ...rest]
  const elements = await Promise.all(
    mentions.map(async (named) => {
      const user = await userOf(named, workspace, names)
      if (user?.startsWith('S')) return { type: 'usergroup', usergroup_id: user } as const
      if (user !== undefined) return { type: 'user', user_id: user } as const
      // an id that means nothing here is nobody's name
      const name = /^(?:slack|teams|web):/.test(named) ? undefined : withoutMentions(named)
      return name === undefined ? undefined : ({ type: 'text', text: name } as const)
    }),
  )
  const shown = elements.filter((element) => element !== undefined)
  if (shown.length === 0) return [first, ...rest]
  const spaced = shown.flatMap((element, index) => (index === 0 ? [element] : [{ type: 'text', text: ' ' } as const, element]))
  const block: RichTextBlock = { type: 'rich_text', elements: [{ type: 'rich_text_section', elements: spaced }] }
  return [{ ...first, blocks: [block, ...first.blocks] }, ...rest]
}
