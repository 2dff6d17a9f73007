import type { Block, Card, Choice, Section } from '../cards/card.js'
import { WORDS } from '../cards/words-en.js'

export interface PageOptions {
  /** Where the choices are posted to. */
  readonly formAction?: string
  /** Hidden fields for the form, ready-made HTML (such as a token against forged requests). */
  readonly formExtras?: string
  /** Sections that stand open from the start, by id. */
  readonly open?: readonly string[]
  /** Whether the card is what its page is about: its title is then the page's one first-level heading. */
  readonly isPage?: boolean
}

const ENTITIES: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' }

/** Text made harmless for element content and for quoted attributes. */
export const escapeHtml = (text: string): string => text.replace(/[&<>"']/g, (mark) => ENTITIES[mark] ?? mark)

function tableHtml(block: Extract<Block, { kind: 'table' }>): string {
  const head = block.columns.map((column) => `<th scope="col">${escapeHtml(column)}</th>`).join('')
  const body = block.rows
    .map((row) => {
      const [first = '', ...rest] = row
      // The column's name travels with each cell, so that a narrow screen can stack them.
      const cells = rest.map(
        (cell, index) => `<td data-column="${escapeHtml(block.columns[index + 1] ?? '')}">${escapeHtml(cell)}</td>`,
      )
      return `<tr><th scope="row">${escapeHtml(first)}</th>${cells.join('')}</tr>`
    })
    .join('\n')
  return `<table>\n<caption>${escapeHtml(block.caption)}</caption>\n<thead><tr>${head}</tr></thead>\n<tbody>\n${body}\n</tbody>\n</table>`
}

function blockHtml(block: Block): string {
  switch (block.kind) {
    case 'line':
      return block.weight === 'strong'
        ? `<p class="strong"><strong>${escapeHtml(block.text)}</strong></p>`
        : `<p class="${block.weight}">${escapeHtml(block.text)}</p>`
    case 'fact': {
      const text = escapeHtml(block.text)
      return `<dl class="fact"><dt>${escapeHtml(block.label)}</dt><dd>${block.strong === true ? `<strong>${text}</strong>` : text}</dd></dl>`
    }
    case 'caution': {
      const mark = `<strong class="mark">${WORDS.caution[block.indicator]}</strong> <span class="step">${WORDS.steps[block.step]}</span>`
      const why = block.why === undefined ? '' : `<p class="quiet">${escapeHtml(block.why)}</p>`
      return `<div class="caution ${block.indicator}"><p>${mark} ${escapeHtml(block.text)}</p>${why}</div>`
    }
    case 'list':
      return `<ul>${block.items.map((item) => `<li>${escapeHtml(item)}</li>`).join('')}</ul>`
    case 'question':
      return `<p class="question">${escapeHtml(block.text)}</p>`
    case 'table':
      return tableHtml(block)
    case 'picture':
      // The drawing is hidden from screen readers: its numbers stand in the caption, which nobody else needs where they stand beside it too.
      return `<figure><div class="picture" aria-hidden="true">${block.svg}</div><figcaption${block.beside ? ' class="unseen"' : ''}>${escapeHtml(block.alternative)}</figcaption></figure>`
  }
}

/** The blocks as an HTML fragment. */
export const blocksHtml = (blocks: readonly Block[]): string => blocks.map(blockHtml).join('\n')

function sectionHtml(section: Section, open: boolean, heading: 'h2' | 'h3'): string {
  return `<details id="${escapeHtml(section.id)}"${open ? ' open' : ''}>\n<summary><${heading}>${escapeHtml(section.title)}</${heading}></summary>\n${blocksHtml(section.blocks)}\n</details>`
}

/** One form for all choices: the button pressed carries what it does, so that the page works without scripts. */
function choicesHtml({ choices, more = [] }: Card, options: PageOptions): string {
  if (choices.length === 0 && more.length === 0) return ''
  const action = options.formAction === undefined ? '' : ` action="${escapeHtml(options.formAction)}"`
  const asksSentence = choices.some((choice) => choice.does.action === 'give-opinion')
  const sentence = asksSentence
    ? `<label>${escapeHtml(WORDS.sentenceLabel)}<textarea name="sentence" rows="2" maxlength="2000"></textarea></label>\n`
    : ''
  const row = (some: readonly Choice[]): string =>
    some.length === 0
      ? ''
      : `<div class="choices">\n${some
          .map(
            (choice) =>
              `<button type="submit" name="does" class="${choice.emphasis}" value="${escapeHtml(JSON.stringify(choice.does))}">${escapeHtml(choice.label)}</button>`,
          )
          .join('\n')}\n</div>\n`
  return `<form method="post"${action}>\n${options.formExtras ?? ''}${sentence}${row(choices)}${row(more)}</form>`
}

/** The card as an HTML fragment; its style is `PAGE_STYLE`. */
export function cardHtml(card: Card, options: PageOptions = {}): string {
  const open = new Set(options.open ?? [])
  const [title, section] = options.isPage === true ? (['h1', 'h2'] as const) : (['h2', 'h3'] as const)
  return [
    '<article class="card">',
    `<${title}>${escapeHtml(card.title)}</${title}>`,
    `<div class="first">\n${blocksHtml(card.first)}\n</div>`,
    choicesHtml(card, options),
    card.typing === '' ? '' : `<p class="quiet">${escapeHtml(card.typing)}</p>`,
    ...card.sections.map((one) => sectionHtml(one, open.has(one.id), section)),
    card.footer === '' ? '' : `<footer>${escapeHtml(card.footer)}</footer>`,
    '</article>',
  ]
    .filter((part) => part !== '')
    .join('\n')
}
