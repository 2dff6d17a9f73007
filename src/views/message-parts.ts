import type { Block, Card } from '../cards/card.js'
import { WORDS } from '../cards/words-en.js'

/** What a platform allows in one message, and how it makes its elements. */
export interface Maker<Element> {
  readonly heading: (text: string) => readonly Element[]
  readonly subheading: (text: string) => readonly Element[]
  /** One block as elements, each within the platform's own limits. */
  readonly block: (block: Block) => readonly Element[]
  readonly size: (element: Element) => number
  readonly limits: { readonly elements: number; readonly size: number }
}

export interface Part<Element> {
  readonly elements: readonly Element[]
  /** Titles of the sections that it holds, for its one-sentence summary. */
  readonly titles: readonly string[]
}

const total = <Element>(maker: Maker<Element>, elements: readonly Element[]): number =>
  elements.reduce((sum, element) => sum + maker.size(element), 0)

/**
 * A card as one root message and as many following ones as it needs. The root holds what is read first and `tail`
 * (choices, how to answer, footer) whole; whatever does not fit goes on in the next message under a repeated heading.
 */
export function messageParts<Element>(card: Card, maker: Maker<Element>, tail: readonly Element[]): readonly Part<Element>[] {
  const { limits } = maker
  const fits = (elements: readonly Element[], more: readonly Element[]): boolean =>
    elements.length + more.length <= limits.elements && total(maker, elements) + total(maker, more) <= limits.size

  const root: Element[] = [...maker.heading(card.title)]
  const first = card.first.flatMap((block) => maker.block(block))
  const held = first.findIndex((_, index) => !fits(root, [...first.slice(0, index + 1), ...tail]))
  const kept = held === -1 ? first : first.slice(0, held)
  root.push(...kept, ...tail)

  const flow: { title: string; begun: boolean; elements: readonly Element[] }[] = [
    { title: WORDS.firstScreen, begun: true, elements: first.slice(kept.length) },
    ...card.sections
      .filter((section) => section.where !== 'page')
      .map((section) => ({
        title: section.title,
        begun: false,
        elements: section.blocks.flatMap((block) => maker.block(block)),
      })),
  ]
  const withheld = card.sections.filter((section) => section.where === 'page').map((section) => section.title)
  if (withheld.length > 0)
    flow.push({
      title: WORDS.elsewhere,
      begun: false,
      elements: maker.block({ kind: 'line', text: WORDS.onlyOnPage(withheld.join(' · ')), weight: 'quiet' }),
    })
  const parts: Part<Element>[] = []
  let open: Element[] = []
  let titles: string[] = []
  const close = (): void => {
    if (open.length > 0) parts.push({ elements: open, titles })
    open = []
    titles = []
  }
  // Room for the heading that each following message gets once their number is known.
  const reserved = maker.heading(WORDS.part(card.title, 99, 99))
  for (const { title, begun, elements } of flow) {
    let started = begun
    let headed = false
    for (const element of elements) {
      const subheading = headed ? [] : maker.subheading(started ? WORDS.continued(title) : title)
      let lead: readonly Element[] = subheading
      if (!fits([...reserved, ...open], [...lead, element])) {
        close()
        lead = maker.subheading(started ? WORDS.continued(title) : title)
      }
      if (lead.length > 0) titles.push(title)
      open.push(...lead, element)
      headed = true
      started = true
    }
  }
  close()
  const of = parts.length + 1
  return [
    { elements: root, titles: [] },
    ...parts.map((part, index) => ({
      ...part,
      elements: [...maker.heading(WORDS.part(card.title, index + 2, of)), ...part.elements],
    })),
  ]
}

/** What a notification says of one message of a card. */
export const partSummary = (card: Card, part: Part<unknown>, index: number, of: number): string =>
  index === 0 ? card.summary : WORDS.partSummary(card.title, index + 1, of, part.titles.join(', '))
