import type { Card, Section } from '../cards/card.js'
import { blocksHtml, escapeHtml } from './page.js'

export interface PrintOptions {
  /** Two columns where many short lines must fit one page, as in a theatre; one where a text is read. */
  readonly columns?: 1 | 2
}

/** Nobody reads smaller on paper: what does not fit then goes on to a second page. */
const LEAST_POINTS = 7.5

/** Sizes of text in points, largest first, each with how many characters one A4 page holds in it; measured in a browser with a twentieth to spare. */
const SIZES: Readonly<Record<1 | 2, readonly { readonly points: number; readonly characters: number }[]>> = {
  1: [
    { points: 11, characters: 4200 },
    { points: 10, characters: 5000 },
    { points: 9.5, characters: 5700 },
    { points: 9, characters: 6200 },
    { points: 8.5, characters: 6700 },
    { points: 8, characters: 7200 },
  ],
  2: [
    { points: 11, characters: 3800 },
    { points: 10, characters: 4500 },
    { points: 9.5, characters: 4800 },
    { points: 9, characters: 5200 },
    { points: 8.5, characters: 6000 },
    { points: 8, characters: 6400 },
  ],
}

/** Black on white: nothing is told by colour, and gravity by a word and the width of its bar. */
const styleOf = (points: number, columns: 1 | 2): string => `
@page { size: A4; margin: 9mm; }
* { box-sizing: border-box; }
html { color-scheme: light; }
body { margin: 0 auto; max-width: 192mm; background: #fff; color: #000; font: ${points}pt/1.22 "Helvetica Neue", Arial, "DejaVu Sans", sans-serif; overflow-wrap: anywhere; }
header { overflow: hidden; border-bottom: 1.5pt solid #000; margin-bottom: 1.5mm; padding-bottom: 1mm; }
h1 { margin: 0; font-size: 1em; font-weight: 400; }
h1 .eye { display: block; font-size: 25pt; line-height: 1.05; font-weight: 700; text-transform: uppercase; }
h2 { font-size: 1.1em; margin: 1.4mm 0 0.6mm; border-bottom: 0.75pt solid #000; break-after: avoid; }
p { margin: 0.5mm 0; white-space: pre-line; }
header p.strong { font-size: 1.05em; }
.quiet, footer { font-size: 0.88em; }
dl { margin: 0.5mm 0; }
dt { display: inline; font-weight: 700; }
dt::after { content: ": "; }
dd { display: inline; margin: 0; white-space: pre-line; }
ul { margin: 0.5mm 0; padding-left: 3.6mm; }
.boxes ul { list-style: none; padding-left: 0; }
.boxes li { padding-left: 3.6mm; text-indent: -3.6mm; }
li, .caution, dl { break-inside: avoid; }
.caution { margin: 0.6mm 0; padding-left: 1.5mm; border-left: 0.75pt solid #000; }
.caution.warning { border-left-width: 1.75pt; }
.caution.critical { border-left-width: 3.5pt; }
.caution p { margin: 0; }
.caution .step { font-style: italic; }
.caution .step::after { content: ":"; }
table { border-collapse: collapse; width: 100%; margin: 0.8mm 0; font-variant-numeric: tabular-nums; }
caption { text-align: left; font-size: 0.88em; }
th, td { text-align: left; vertical-align: top; border: 0.5pt solid #000; padding: 0.4mm 1mm; }
tbody th { font-weight: 700; }
figure { float: right; width: 78mm; margin: 0 0 1mm 3mm; }
figure svg { display: block; width: 100%; height: auto; }
figcaption { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
main { columns: ${columns}; column-gap: 5mm; }
#lens, #lenses { column-span: all; }
#lenses td:nth-child(2) { font-size: 1.3em; font-weight: 700; white-space: nowrap; }
footer { border-top: 0.75pt solid #000; margin-top: 1.5mm; padding-top: 0.8mm; }
@media screen { body { padding: 9mm; max-width: 210mm; } }
@media screen and (max-width: 40rem) { th, td { overflow-wrap: break-word; } #lenses td:nth-child(2) { font-size: 1.05em; } body { padding: 4mm; font-size: 12pt; } main { columns: 1; } figure { float: none; width: 100%; } h1 .eye { font-size: 20pt; } }
`

const lengthOf = (card: Card): number =>
  [...card.first, ...card.sections.flatMap(({ blocks }) => blocks)].reduce((sum, block) => {
    switch (block.kind) {
      case 'picture':
        return sum
      case 'list':
        return sum + block.items.join('').length + 20 * block.items.length
      case 'table':
        return sum + block.rows.flat().join('').length + 60 * block.rows.length
      case 'fact':
        return sum + block.label.length + block.text.length + 20
      case 'caution':
        return sum + block.text.length + (block.why?.length ?? 0) + 40
      default:
        return sum + block.text.length + 20
    }
  }, card.footer.length)

/** The largest text in which the document fits one page; the least where none does. */
export const pointsFor = (card: Card, columns: 1 | 2): number =>
  SIZES[columns].find(({ characters }) => lengthOf(card) <= characters)?.points ?? LEAST_POINTS

const isTicked = ({ blocks }: Section): boolean =>
  blocks.some((block) => block.kind === 'list' && block.items.some((item) => item.startsWith('☐')))

const sectionHtml = (section: Section): string =>
  `<section id="${escapeHtml(section.id)}"${isTicked(section) ? ' class="boxes"' : ''}>\n<h2>${escapeHtml(section.title)}</h2>\n${blocksHtml(section.blocks)}\n</section>`

/** A document card as a page of its own, A4, to be printed; the first part of its title, the eye, stands large. It loads and runs nothing. */
export function printPage(card: Card, options: PrintOptions = {}): string {
  const columns = options.columns ?? 1
  const [eye = '', ...rest] = card.title.split(' · ')
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="robots" content="noindex">
<title>${escapeHtml(card.title)}</title>
<style>${styleOf(pointsFor(card, columns), columns)}</style>
</head>
<body>
<header>
${blocksHtml(card.first.filter(({ kind }) => kind === 'picture'))}
<h1><span class="eye">${escapeHtml(eye)}</span> <span>${escapeHtml(rest.join(' · '))}</span></h1>
${blocksHtml(card.first.filter(({ kind }) => kind !== 'picture'))}
</header>
<main>
${card.sections.map(sectionHtml).join('\n')}
</main>
<footer>${escapeHtml(card.footer)}</footer>
</body>
</html>
`
}
