import type { Block, Card, Choice } from '../cards/card.js'
import { WORDS } from '../cards/words-en.js'
import { alignedTable, labelledRows } from './table-text.js'

export interface PlainOptions {
  /** Columns of the terminal. */
  readonly width: number
}

/** Breaks text at spaces and keeps its own line breaks; a word longer than a line stands alone on it, whole. */
const wrapped = (text: string, width: number, hanging = ''): readonly string[] =>
  text.split('\n').flatMap((line, index) => wrappedLine(index === 0 ? line : `${hanging}${line}`, width, hanging))

function wrappedLine(text: string, width: number, hanging: string): readonly string[] {
  const lines: string[] = []
  let line = ''
  for (const word of text.split(/\s+/).filter((one) => one !== '')) {
    const indent = lines.length === 0 ? '' : hanging
    if (line === '') line = indent + word
    else if (line.length + 1 + word.length <= width) line = `${line} ${word}`
    else {
      lines.push(line)
      line = hanging + word
    }
  }
  return line === '' ? lines : [...lines, line]
}

function linesOf(block: Block, width: number): readonly string[] {
  switch (block.kind) {
    case 'line':
      return wrapped(block.text, width)
    case 'fact':
      return wrapped(`${block.label}: ${block.text}`, width, '  ')
    case 'caution': {
      const head = `[${WORDS.caution[block.indicator].toUpperCase()}] ${WORDS.steps[block.step]}: ${block.text}`
      return [
        ...wrapped(head, width, '  '),
        ...(block.why === undefined ? [] : wrapped(`  ${block.why}`, width, '  ').map(indented)),
      ]
    }
    case 'list':
      return block.items.flatMap((item) => wrapped(`- ${item}`, width, '  '))
    case 'question':
      return wrapped(`? ${block.text}`, width, '  ')
    case 'table':
      return [
        ...wrapped(block.caption, width),
        ...(alignedTable(block, width) ?? labelledRows(block).flatMap((row) => wrapped(row, width, '  '))),
      ]
    case 'picture':
      return wrapped(block.alternative, width)
  }
}

const indented = (line: string): string => (line.startsWith('  ') ? line : `  ${line}`)

const choiceWords = (choices: readonly Choice[]): readonly string[] =>
  choices.length === 0 ? [] : [choices.map((choice) => `[${choice.label}]`).join(' ')]

/** The whole card as text for a terminal, a log-free fallback or a reader without blocks. Nothing is left out. */
export function plainText(card: Card, options: PlainOptions): string {
  const { width } = options
  const rule = (title: string, mark: string): readonly string[] => [title, mark.repeat(Math.min(title.length, width))]
  return [
    ...rule(card.title, '='),
    ...card.first.flatMap((block) => linesOf(block, width)),
    '',
    ...choiceWords([...card.choices, ...(card.more ?? [])]).flatMap((line) => wrapped(line, width)),
    ...wrapped(card.typing, width),
    ...wrapped(card.footer, width),
    ...card.sections.flatMap((section) => [
      '',
      ...rule(section.title, '-'),
      ...section.blocks.flatMap((block) => linesOf(block, width)),
    ]),
  ]
    .filter((line, index, all) => line !== '' || all[index - 1] !== '')
    .join('\n')
}
