import type { Block, Card } from '../cards/card.js'

type Picture = Extract<Block, { kind: 'picture' }>

/** A picture as a card of its own, with its numbers in words. */
export interface PictureCard {
  readonly picture: Picture
  readonly card: Card
}

interface PicturesApart {
  /** The card without its pictures. */
  readonly card: Card
  readonly pictures: readonly PictureCard[]
}

const isPicture = (block: Block): block is Picture => block.kind === 'picture'

/**
 * A chat shows each picture as a message of its own, so that the other messages stay what they are whether or not it can
 * be shown this time.
 */
export function picturesApart(card: Card): PicturesApart {
  const pictures = card.sections.flatMap((section) =>
    section.blocks.filter(isPicture).map((picture): PictureCard => {
      const title = `${card.title} · ${section.title}`
      return {
        picture,
        card: { title, summary: `${title}.`, first: [picture], sections: [], choices: [], typing: '', footer: '' },
      }
    }),
  )
  if (pictures.length === 0) return { card, pictures }
  const sections = card.sections
    .map((section) => ({ ...section, blocks: section.blocks.filter((block) => !isPicture(block)) }))
    .filter(({ blocks }) => blocks.length > 0)
  return { card: { ...card, sections }, pictures }
}
