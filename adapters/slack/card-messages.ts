import type { Card } from '../../src/cards/card.js'
import { pictureApart } from '../../src/views/picture-apart.js'
import { type SlackMessage, slackMessages } from '../../src/views/slack-blocks.js'

export interface CardMessage {
  /** As it is read without the picture. */
  readonly message: SlackMessage
  /** The drawing, and the message that shows it once it is uploaded. */
  readonly picture?: { readonly svg: string; readonly showing: (fileId: string) => SlackMessage }
}

/** A card's messages: what is read first, then the picture where there is one, then the rest in the thread. */
export function cardMessages(whole: Card): readonly CardMessage[] {
  const { card, picture, pictureCard } = pictureApart(whole)
  const [root, ...rest] = slackMessages(card).map((message): CardMessage => ({ message }))
  if (root === undefined) return []
  if (picture === undefined || pictureCard === undefined) return [root, ...rest]
  const inWords = slackMessages(pictureCard)
  const shown = inWords.map((message, index): CardMessage => {
    const showing = (pictureFileId: string): SlackMessage => slackMessages(pictureCard, { pictureFileId })[index] ?? message
    return index === 0 ? { message, picture: { svg: picture.svg, showing } } : { message }
  })
  return [root, ...shown, ...rest]
}
