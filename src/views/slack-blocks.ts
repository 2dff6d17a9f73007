// Types only: nothing of the package is loaded at run time.
import type { ActionsBlock, Button, KnownBlock, RichTextBlock, RichTextText } from '@slack/types'
import type { Block, Card, Choice, ChoiceAction } from '../cards/card.js'
import { WORDS } from '../cards/words-en.js'
import { slackText, withoutMentions } from './inert-text.js'
import { SLACK } from './limits.js'
import { type Maker, messageParts, partSummary } from './message-parts.js'
import { splitText } from './split-text.js'
import { alignedTable, cellsInWords, type Table } from './table-text.js'

export interface SlackMessage {
  /** A complete sentence for notifications and screen readers. */
  readonly text: string
  readonly blocks: KnownBlock[]
}

export interface SlackOptions {
  /** The uploaded picture of the card, where it has one. */
  readonly pictureFileId?: string
}

type Weight = 'plain' | 'bold'
type Run = readonly [text: string, weight: Weight]

/*
 * Body text goes into rich text and plain text, which Slack shows as they are: no markup is read there at all.
 * `withoutMentions` is a second lock on the door that matters most.
 */
const run = ([text, weight]: Run): RichTextText => ({
  type: 'text',
  text: withoutMentions(text),
  ...(weight === 'bold' ? { style: { bold: true } } : {}),
})

const richText = (elements: RichTextBlock['elements']): RichTextBlock => ({ type: 'rich_text', elements })

/** A run of text as one or more paragraphs, broken where it is too long. */
function paragraphs(runs: readonly Run[]): readonly RichTextBlock[] {
  const pieces = runs.flatMap(([text, weight]) => splitRun(text, weight))
  const blocks: Run[][] = [[]]
  let length = 0
  for (const piece of pieces) {
    if (length > 0 && length + piece[0].length > SLACK.piece) {
      blocks.push([])
      length = 0
    }
    blocks.at(-1)?.push(piece)
    length += piece[0].length
  }
  return blocks.map((block) => richText([{ type: 'rich_text_section', elements: block.map(run) }]))
}

/** Splitting trims; spaces between two runs are part of the look, so short runs are left alone. */
const splitRun = (text: string, weight: Weight): readonly Run[] =>
  text.length <= SLACK.piece ? [[text, weight]] : splitText(text, SLACK.piece).map((piece): Run => [piece, weight])

const quiet = (text: string): readonly KnownBlock[] =>
  splitText(text, SLACK.piece).map((piece) => ({
    type: 'context',
    elements: [{ type: 'plain_text', text: withoutMentions(piece), emoji: false }],
  }))

function caution(block: Extract<Block, { kind: 'caution' }>): readonly KnownBlock[] {
  const weight = block.indicator === 'critical' ? 'bold' : 'plain'
  const head: Run[] = [
    [WORDS.caution[block.indicator], weight],
    [` · ${WORDS.steps[block.step]}: ${block.text}`, 'plain'],
  ]
  const why: readonly Run[] = block.why === undefined ? [] : [[`\n${block.why}`, 'plain']]
  return paragraphs([...head, ...why])
}

/** A list as bullets, a few to a block so that a long one can go on in the next message. */
function bullets(items: readonly (readonly Run[])[]): readonly RichTextBlock[] {
  const lists: Run[][][] = []
  let length: number = SLACK.piece
  for (const item of items) {
    const parts = item.flatMap(([text, weight]) => splitRun(text, weight))
    const size = parts.reduce((sum, [text]) => sum + text.length + 60, 80)
    if (length + size > SLACK.piece) {
      lists.push([])
      length = 0
    }
    lists.at(-1)?.push(...bulletsOf(parts))
    length += size
  }
  return lists.map((list) =>
    richText([
      {
        type: 'rich_text_list',
        style: 'bullet',
        elements: list.map((runs) => ({ type: 'rich_text_section', elements: runs.map(run) })),
      },
    ]),
  )
}

/** One item; when it was broken, each further piece is an item of its own so that no block grows too long. */
const bulletsOf = (parts: readonly Run[]): readonly Run[][] =>
  parts.reduce((sum, [text]) => sum + text.length, 0) <= SLACK.piece ? [[...parts]] : parts.map((part) => [part])

/** Aligned where it is narrow enough for a phone, else one bullet a row with the columns named. */
function table(block: Table): readonly KnownBlock[] {
  const caption = quiet(block.caption)
  const aligned = alignedTable(block, SLACK.tableColumns)
  if (aligned !== undefined && aligned.join('\n').length <= SLACK.piece) {
    const text = withoutMentions(aligned.join('\n'))
    return [...caption, richText([{ type: 'rich_text_preformatted', elements: [{ type: 'text', text }] }])]
  }
  const rows = block.rows.map((row): readonly Run[] => [
    [row[0] ?? '', 'bold'],
    [` · ${cellsInWords(block, row)}`, 'plain'],
  ])
  return [...caption, ...bullets(rows)]
}

function blocksOf(block: Block, options: SlackOptions): readonly KnownBlock[] {
  switch (block.kind) {
    case 'line':
      return block.weight === 'quiet'
        ? quiet(block.text)
        : paragraphs([[block.text, block.weight === 'strong' ? 'bold' : 'plain']])
    case 'fact':
      return paragraphs([
        [`${block.label}: `, 'plain'],
        [block.text, block.strong === true ? 'bold' : 'plain'],
      ])
    case 'caution':
      return caution(block)
    case 'list':
      return bullets(block.items.map((item): readonly Run[] => [[item, 'plain']]))
    case 'question':
      return paragraphs([[`? ${block.text}`, 'plain']])
    case 'table':
      return table(block)
    case 'picture':
      return picture(block.alternative, options)
  }
}

function picture(alternative: string, options: SlackOptions): readonly KnownBlock[] {
  if (options.pictureFileId === undefined) return paragraphs([[alternative, 'plain']])
  const [short = '', ...rest] = splitText(alternative, SLACK.imageAlternative)
  return [
    { type: 'image', slack_file: { id: options.pictureFileId }, alt_text: withoutMentions(short) },
    ...rest.flatMap((piece) => paragraphs([[piece, 'plain']])),
  ]
}

/** `give-opinion:agree`, `post-draft`: unique within a card. */
export function actionId(does: ChoiceAction): string {
  if (does.action === 'give-opinion') return `${does.action}:${does.opinion}`
  if (does.action === 'open-form') return `${does.action}:${does.form}`
  return does.action === 'task-done' ? `${does.action}:${does.task}` : does.action
}

function button(choice: Choice): Button {
  return {
    type: 'button',
    action_id: actionId(choice.does),
    text: { type: 'plain_text', text: choice.label, emoji: false },
    value: JSON.stringify(choice.does),
    ...(choice.emphasis === 'normal' ? {} : { style: choice.emphasis }),
  }
}

function buttonRows(choices: readonly Choice[]): readonly ActionsBlock[] {
  const rows: ActionsBlock[] = []
  for (let from = 0; from < choices.length; from += SLACK.buttonsPerRow) {
    rows.push({ type: 'actions', elements: choices.slice(from, from + SLACK.buttonsPerRow).map(button) })
  }
  return rows
}

/** Changes whenever the card changes: Slack wants new block ids with each new content of a message (FNV-1a, 32 bits). */
function markOf(card: Card): string {
  let hash = 0x811c9dc5
  for (const char of JSON.stringify(card)) hash = Math.imul(hash ^ (char.codePointAt(0) ?? 0), 0x01000193)
  return (hash >>> 0).toString(36)
}

const header = (text: string): readonly KnownBlock[] => {
  const [title = '', ...rest] = splitText(text, SLACK.header)
  return [
    { type: 'header', text: { type: 'plain_text', text: withoutMentions(title), emoji: false } },
    ...rest.flatMap((piece) => paragraphs([[piece, 'bold']])),
  ]
}

// What a block id adds to a block once it has one.
const BLOCK_ID_SIZE = 40

/** The card as Slack messages: the first opens the thread, the others follow in it. Nothing of the card is left out. */
export function slackMessages(card: Card, options: SlackOptions = {}): readonly SlackMessage[] {
  const maker: Maker<KnownBlock> = {
    heading: header,
    subheading: (text) => paragraphs([[text, 'bold']]),
    block: (block) => blocksOf(block, options),
    size: (block) => JSON.stringify(block).length + BLOCK_ID_SIZE,
    limits: { elements: SLACK.blocksPerMessage, size: SLACK.charactersPerMessage },
  }
  const tail = [...buttonRows(card.choices), ...buttonRows(card.more ?? []), ...quiet(card.typing), ...quiet(card.footer)]
  const parts = messageParts(card, maker, tail)
  const mark = markOf(card)
  return parts.map((part, index) => ({
    text: slackText(partSummary(card, part, index, parts.length)),
    blocks: part.elements.map((block, place): KnownBlock => ({ ...block, block_id: `${mark}-${index}-${place}` })),
  }))
}
