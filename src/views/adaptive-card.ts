import type { Block, Card, Choice } from '../cards/card.js'
import { WORDS } from '../cards/words-en.js'
import { inertText } from './inert-text.js'
import { TEAMS } from './limits.js'
import { type Maker, messageParts, partSummary } from './message-parts.js'
import { splitText } from './split-text.js'
import { cellsInWords, type Table } from './table-text.js'

/** The few Adaptive Card elements that are used: none newer than schema 1.4, none that phones have trouble with. */
export type AdaptiveElement =
  | {
      readonly type: 'TextBlock'
      readonly text: string
      readonly wrap: true
      readonly weight?: 'Bolder'
      readonly size?: 'Large' | 'Medium' | 'Small'
      readonly isSubtle?: true
      readonly separator?: true
      readonly spacing?: 'Small' | 'None'
    }
  | { readonly type: 'FactSet'; readonly facts: readonly { readonly title: string; readonly value: string }[] }
  | {
      readonly type: 'Container'
      readonly style: 'attention' | 'warning' | 'accent'
      readonly items: readonly AdaptiveElement[]
    }
  | { readonly type: 'Image'; readonly url: string; readonly altText: string; readonly size: 'Stretch' }
  | {
      readonly type: 'Input.Text'
      readonly id: 'sentence'
      readonly isMultiline: true
      readonly maxLength: number
      readonly label: string
    }

export interface AdaptiveCard {
  readonly $schema: string
  readonly type: 'AdaptiveCard'
  readonly version: string
  readonly body: readonly AdaptiveElement[]
  readonly actions?: readonly {
    readonly type: 'Action.Submit'
    readonly title: string
    readonly style?: 'positive' | 'destructive'
    /** What comes back when it is pressed. */
    readonly data: { readonly soundings: Choice['does']; readonly msteams?: typeof OPENS_DIALOG }
  }[]
}

export interface AdaptiveMessage {
  /** A complete sentence for notifications. */
  readonly summary: string
  readonly card: AdaptiveCard
}

export interface AdaptiveOptions {
  /** https address of the picture that clients can reach. */
  readonly pictureUrl?: string
}

type TextLook = Omit<Extract<AdaptiveElement, { type: 'TextBlock' }>, 'type' | 'text' | 'wrap'>

const text = (words: string, look: TextLook = {}): readonly AdaptiveElement[] =>
  splitText(words, TEAMS.piece).map((piece) => ({
    type: 'TextBlock',
    // A single line break is lost in its markdown.
    text: inertText(piece).replace(/\n+/g, '\n\n'),
    wrap: true,
    ...look,
  }))

const CAUTION_STYLE = { critical: 'attention', warning: 'warning', info: 'accent' } as const

function table(block: Table): readonly AdaptiveElement[] {
  const facts = block.rows.flatMap((row) => {
    const [value = '', ...rest] = splitText(cellsInWords(block, row), TEAMS.piece)
    const title = inertText(row[0] ?? '')
    return [
      { title, value: inertText(value) },
      ...rest.map((more) => ({ title: WORDS.continued(title), value: inertText(more) })),
    ]
  })
  return [...text(block.caption, { isSubtle: true, size: 'Small' }), ...factSets(facts)]
}

/** Sets of facts, each small enough to move to the next message as a whole. */
function factSets(facts: readonly { readonly title: string; readonly value: string }[]): readonly AdaptiveElement[] {
  const sets: { title: string; value: string }[][] = []
  let length: number = TEAMS.piece
  for (const fact of facts) {
    const size = fact.title.length + fact.value.length
    if (length + size > TEAMS.piece || (sets.at(-1)?.length ?? 0) >= TEAMS.factsPerSet) {
      sets.push([])
      length = 0
    }
    sets.at(-1)?.push({ ...fact })
    length += size
  }
  return sets.map((set) => ({ type: 'FactSet', facts: set }))
}

function elementsOf(block: Block, options: AdaptiveOptions): readonly AdaptiveElement[] {
  switch (block.kind) {
    case 'line':
      if (block.weight === 'quiet') return text(block.text, { isSubtle: true, size: 'Small' })
      return text(block.text, block.weight === 'strong' ? { weight: 'Bolder' } : {})
    case 'fact':
      return text(`${block.label}: ${block.text}`, block.strong === true ? { weight: 'Bolder' } : {})
    case 'caution': {
      const head = text(`${WORDS.caution[block.indicator]} · ${WORDS.steps[block.step]}: ${block.text}`)
      const why = block.why === undefined ? [] : text(block.why, { isSubtle: true, size: 'Small', spacing: 'Small' })
      const style = CAUTION_STYLE[block.indicator]
      // A text that had to be broken stands in containers of its own, so that each can go on in the next message.
      const whole = head.length === 1 && why.length <= 1
      return (whole ? [[...head, ...why]] : [...head, ...why].map((item) => [item])).map((items) => ({
        type: 'Container',
        style,
        items,
      }))
    }
    case 'list':
      return block.items.flatMap((item) => text(`• ${item}`, { spacing: 'Small' }))
    case 'question':
      return text(`? ${block.text}`)
    case 'table':
      return table(block)
    case 'picture':
      return options.pictureUrl === undefined
        ? text(block.alternative)
        : [{ type: 'Image', url: options.pictureUrl, altText: block.alternative, size: 'Stretch' }]
  }
}

/** Teams asks the bot for a form and shows it over the chat; a client that does not know this sends the press as it is. */
const OPENS_DIALOG = { type: 'task/fetch' } as const

const STYLES = { primary: 'positive', danger: 'destructive' } as const

const action = (choice: Choice): NonNullable<AdaptiveCard['actions']>[number] => ({
  type: 'Action.Submit',
  title: choice.label,
  ...(choice.emphasis === 'normal' ? {} : { style: STYLES[choice.emphasis] }),
  data: { soundings: choice.does, ...(choice.does.action === 'open-form' ? { msteams: OPENS_DIALOG } : {}) },
})

function cardOf(body: readonly AdaptiveElement[], choices: readonly Choice[]): AdaptiveCard {
  return {
    $schema: 'http://adaptivecards.io/schemas/adaptive-card.json',
    type: 'AdaptiveCard',
    version: TEAMS.schemaVersion,
    body,
    ...(choices.length === 0 ? {} : { actions: choices.map(action) }),
  }
}

/** Bytes of UTF-8: what is counted on the wire. */
const bytes = (value: unknown): number => new TextEncoder().encode(JSON.stringify(value)).length

/** A field for the sentence that goes with an opinion; its value comes back beside `soundings`. */
const sentenceField = (choices: readonly Choice[]): readonly AdaptiveElement[] =>
  choices.some((choice) => choice.does.action === 'give-opinion')
    ? [{ type: 'Input.Text', id: 'sentence', isMultiline: true, maxLength: 2000, label: WORDS.sentenceLabel }]
    : []

/** The card as Teams messages: the first opens the thread, the others follow in it. Nothing of the card is left out. */
export function adaptiveMessages(card: Card, options: AdaptiveOptions = {}): readonly AdaptiveMessage[] {
  const choices = card.choices.slice(0, TEAMS.actionsPerCard)
  const maker: Maker<AdaptiveElement> = {
    heading: (words) => text(words, { size: 'Large', weight: 'Bolder' }),
    subheading: (words) => text(words, { size: 'Medium', weight: 'Bolder', separator: true }),
    block: (block) => elementsOf(block, options),
    size: (element) => bytes(element) + 1,
    limits: { elements: Number.POSITIVE_INFINITY, size: TEAMS.bytesPerCard - bytes(cardOf([], choices)) },
  }
  const tail = [
    ...text(card.typing, { isSubtle: true, size: 'Small' }),
    ...text(card.footer, { isSubtle: true, size: 'Small' }),
    ...sentenceField(choices),
  ]
  const parts = messageParts(card, maker, tail)
  const messages = parts.map((part, index) => ({
    summary: partSummary(card, part, index, parts.length),
    card: cardOf(part.elements, index === 0 ? choices : []),
  }))
  return [...messages, ...furtherChoices(card)]
}

/** Choices beyond what one card shows, and what else can be done, each row under the card's title so that it is clear what it decides. */
function furtherChoices(card: Card): readonly AdaptiveMessage[] {
  const further = [...card.choices.slice(TEAMS.actionsPerCard), ...(card.more ?? [])]
  const messages: AdaptiveMessage[] = []
  for (let from = 0; from < further.length; from += TEAMS.actionsPerCard) {
    const row = further.slice(from, from + TEAMS.actionsPerCard)
    messages.push({ summary: card.summary, card: cardOf(text(card.title, { weight: 'Bolder' }), row) })
  }
  return messages
}
