import type { Card } from '../../src/cards/card.js'
import { type PictureCard, picturesApart } from '../../src/views/pictures-apart.js'
import { type SlackMessage, slackMessages } from '../../src/views/slack-blocks.js'

export interface CardMessage {
  /** As it is read without the picture. */
  readonly message: SlackMessage
  /** The drawing, and the message that shows it once it is uploaded. */
  readonly picture?: { readonly svg: string; readonly showing: (fileId: string) => SlackMessage }
}

/** A card's messages: what is read first, then a message for each picture, then the rest in the thread. */
export function cardMessages(whole: Card): readonly CardMessage[] {
  const { card, pictures } = picturesApart(whole)
  const [root, ...rest] = slackMessages(card).map((message): CardMessage => ({ message }))
  if (root === undefined) return []
  return [root, ...pictures.flatMap(pictureMessages), ...rest]
}

function pictureMessages({ card, picture }: PictureCard): readonly CardMessage[] {
  return slackMessages(card).map((message, index): CardMessage => {
    const showing = (pictureFileId: string): SlackMessage => slackMessages(card, { pictureFileId })[index] ?? message
    return index === 0 ? { message, picture: { svg: picture.svg, showing } } : { message }
  })
}
