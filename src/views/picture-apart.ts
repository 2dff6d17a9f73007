import type { Block, Card } from '../cards/card.js'
import { WORDS } from '../cards/words-en.js'

type Picture = Extract<Block, { kind: 'picture' }>

export interface PictureApart {
  /** The card without its picture. */
  readonly card: Card
  readonly picture?: Picture
  /** The picture as a card of its own, with its numbers in words. */
  readonly pictureCard?: Card
}

/**
 * A chat shows the picture as a message of its own, so that the other messages stay what they are whether or not it can
 * be shown this time.
 */
export function pictureApart(card: Card): PictureApart {
  const pictures = [...card.first, ...card.sections.flatMap(({ blocks }) => blocks)].filter(
    (block): block is Picture => block.kind === 'picture',
  )
  const [picture] = pictures
  if (picture === undefined || pictures.length > 1) return { card }
  const without = (blocks: readonly Block[]): readonly Block[] => blocks.filter((block) => block !== picture)
  const title = `${card.title} · ${WORDS.sections.picture}`
  return {
    picture,
    card: {
      ...card,
      first: without(card.first),
      sections: card.sections
        .map((section) => ({ ...section, blocks: without(section.blocks) }))
        .filter(({ blocks }) => blocks.length > 0),
    },
    pictureCard: { title, summary: `${title}.`, first: [picture], sections: [], choices: [], typing: '', footer: '' },
  }
}
