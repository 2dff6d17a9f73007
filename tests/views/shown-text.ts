import type { Block, Card } from '../../src/cards/card.js'

/** Every text that a chat posts of a card, and the titles of what it only names. */
export const textsInChat = (card: Card): readonly string[] => [
  ...textsOf({ ...card, sections: card.sections.filter((section) => section.where !== 'page') }),
  ...card.sections.map((section) => section.title),
]

/** Every text that a card wants read, piece by piece. */
export function textsOf(card: Card): readonly string[] {
  const blocks = [...card.first, ...card.sections.flatMap((section) => section.blocks)]
  return [
    card.title,
    card.typing,
    card.footer,
    ...card.choices.map((choice) => choice.label),
    ...card.sections.map((section) => section.title),
    ...blocks.flatMap(textsOfBlock),
  ].filter((text) => text !== '')
}

function textsOfBlock(block: Block): readonly string[] {
  switch (block.kind) {
    case 'line':
    case 'question':
      return [block.text]
    case 'fact':
      return [block.label, block.text]
    case 'caution':
      return [block.text, ...(block.why === undefined ? [] : [block.why])]
    case 'list':
      return block.items
    case 'table':
      return [block.caption, ...block.columns.slice(1), ...block.rows.flat()]
    case 'picture':
      return [block.alternative]
  }
}

/** White space, breaks and invisible joiners do not count when it is asked whether a text stands there. */
export const squeezed = (text: string): string => text.replace(/[\s\u2060]+/g, '')

/** The strings under the given keys, anywhere in a structure, in order. */
export function stringsUnder(value: unknown, keys: ReadonlySet<string>): readonly string[] {
  if (Array.isArray(value)) return value.flatMap((item) => stringsUnder(item, keys))
  if (value === null || typeof value !== 'object') return []
  return Object.entries(value).flatMap(([key, inner]) =>
    typeof inner === 'string' ? (keys.has(key) ? [inner] : []) : stringsUnder(inner, keys),
  )
}
