import type { Card } from '../../src/cards/card.js'
import { type AdaptiveMessage, adaptiveMessages } from '../../src/views/adaptive-card.js'
import { picturesApart } from '../../src/views/pictures-apart.js'

export interface CardMessage {
  /** With the numbers of the picture in words, where it has one. */
  readonly message: AdaptiveMessage
  readonly svg?: string
}

/** A card's messages: what is read first, then a message for each picture, then the rest in the thread. */
export function cardMessages(whole: Card): readonly CardMessage[] {
  const { card, pictures } = picturesApart(whole)
  const [root, ...rest] = adaptiveMessages(card).map((message): CardMessage => ({ message }))
  if (root === undefined) return []
  const shown = pictures.flatMap(({ card: alone, picture }) =>
    adaptiveMessages(alone).map((message, index): CardMessage => (index === 0 ? { message, svg: picture.svg } : { message })),
  )
  return [root, ...shown, ...rest]
}
