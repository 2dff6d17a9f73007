import type { Card } from '../../src/cards/card.js'
import { type AdaptiveMessage, adaptiveMessages } from '../../src/views/adaptive-card.js'
import { pictureApart } from '../../src/views/picture-apart.js'

export interface CardMessage {
  /** With the numbers of the picture in words, where it has one. */
  readonly message: AdaptiveMessage
  readonly svg?: string
}

/** A card's messages: what is read first, then the picture where there is one, then the rest in the thread. */
export function cardMessages(whole: Card): readonly CardMessage[] {
  const { card, picture, pictureCard } = pictureApart(whole)
  const [root, ...rest] = adaptiveMessages(card).map((message): CardMessage => ({ message }))
  if (root === undefined) return []
  if (picture === undefined || pictureCard === undefined) return [root, ...rest]
  const shown = adaptiveMessages(pictureCard).map(
    (message, index): CardMessage => (index === 0 ? { message, svg: picture.svg } : { message }),
  )
  return [root, ...shown, ...rest]
}
