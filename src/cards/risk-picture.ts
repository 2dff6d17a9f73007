import { scaleLinear } from 'd3-scale'
import type { Plan, Risk } from '../plan/plan.js'
import type { Block } from './card.js'
import { eyeInWords } from './case-words.js'
import { frequency } from './figures.js'
import { populationBriefly } from './first-risks.js'
import { frequencyRange } from './frequency-range.js'
import { at, DEEP, drawing, HAIR, INK, label, polyline, SOFT } from './svg.js'
import { WORDS } from './words-en.js'
import { RISK_PICTURE_WORDS as W } from './words-risk-picture-en.js'

const WIDTH = 720
const BARS = { left: 24, right: 696 } as const
const LINE = 36
const BAR = 26
const TOP = 96
/** Signs of the smallest text that fit between the edges. */
const SIGNS_A_LINE = 43
const BOLD_SIGNS_A_LINE = 38

/** One bar: a figure, or the span between two; solid is one figure, open with strokes is a span. */
interface Bar {
  readonly words: string
  readonly low: number
  readonly high: number
}

interface Group {
  readonly bars: readonly Bar[]
  readonly origin: string
}

const DRAWN = [
  'capsule-rupture-odds-2009',
  'capsule-rupture-score-2004',
  'retinal-detachment',
  'retinal-detachment-after-capsule-rupture',
  'suprachoroidal-haemorrhage',
  'wound-burn',
] as const

const single = (words: string, value: number): Bar => ({ words, low: value, high: value })

/** What a risk gives in figures, each under what it is: its value, the same carried to other base rates, or its band. */
function barsOf(risk: Risk, title: string): readonly Bar[] {
  const scaled = risk.recalibrated.map(({ value }) => value)
  const band = risk.band
  if (risk.value !== undefined) {
    const [low, high] = [Math.min(...scaled), Math.max(...scaled)]
    return [
      single(W.figure(risk.surgeon === undefined ? title : `${title}, ${risk.surgeon}`, frequency(risk.value)), risk.value),
      ...(scaled.length === 0 ? [] : [{ words: W.recalibrated(frequencyRange(low, high)), low, high }]),
    ]
  }
  if (band?.low === undefined || band.high === undefined) return []
  return [{ words: W.figure(title, band.words), low: band.low, high: band.high }]
}

/** "2006 and 2012" is said where both years are. */
const saidYears = (risk: Risk, text: string): boolean =>
  (risk.years.match(/\d{4}/g) ?? ['none']).every((year) => text.includes(year)) && !risk.years.includes('–')

function groupsOf(plan: Plan): readonly Group[] {
  return DRAWN.flatMap((id) => {
    const risk = plan.risks.find((one) => one.id === id)
    const bars = risk === undefined ? [] : barsOf(risk, W.titles[id])
    if (risk === undefined || bars.length === 0) return []
    return [{ bars, origin: originOf(risk) }]
  })
}

/** Model, population and years, each said once: many a model carries its years in its name. */
function originOf(risk: Risk): string {
  const named = [risk.model, populationBriefly(risk.population)]
  const years = named.some((part) => part.includes(risk.years)) || saidYears(risk, named.join(' ')) ? [] : [risk.years]
  const recalled = risk.source.sureness === 'memory' ? ` (${WORDS.fromMemory})` : ''
  return `${[...named, ...years].join('; ')}${recalled}`
}

/** Text in lines that fit the picture. */
function broken(text: string, signs = SIGNS_A_LINE): readonly string[] {
  const lines: string[] = []
  for (const word of text.split(' ')) {
    const last = lines.at(-1)
    if (last !== undefined && last.length + 1 + word.length <= signs) lines[lines.length - 1] = `${last} ${word}`
    else lines.push(word)
  }
  return lines
}

function drawBar(bar: Bar, y: number, x: (value: number) => number): readonly string[] {
  // A figure too small for the scale still shows as a thin line.
  const from = Math.max(x(bar.low), BARS.left + 3)
  const to = Math.max(x(bar.high), from)
  if (bar.low === bar.high)
    return [`<rect x="${BARS.left}" y="${at(y)}" width="${at(to - BARS.left)}" height="${BAR}" fill="${DEEP}" />`]
  return [
    `<rect x="${BARS.left}" y="${at(y)}" width="${at(from - BARS.left)}" height="${BAR}" fill="${DEEP}" />`,
    `<rect x="${at(from)}" y="${at(y + 1.5)}" width="${at(Math.max(to - from, 3))}" height="${BAR - 3}" fill="url(#strokes)" stroke="${DEEP}" stroke-width="3" />`,
  ]
}

const STROKES = `<defs><pattern id="strokes" width="10" height="10" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="10" height="10" fill="#ffffff" /><rect width="3" height="10" fill="${DEEP}" /></pattern></defs>`

/**
 * The risks of this eye as plain bars on one scale, each with its model and years: solid up to the lowest figure, strokes from
 * there to the highest. Models stand side by side and are never combined.
 * @returns undefined where no model gives a figure
 */
export function riskPicture(plan: Plan): Extract<Block, { kind: 'picture' }> | undefined {
  const groups = groupsOf(plan)
  if (groups.length === 0) return undefined
  const highest = Math.max(...groups.flatMap(({ bars }) => bars.map(({ high }) => high)))
  const scale = scaleLinear([0, highest], [BARS.left, BARS.right - 40]).nice(4)
  const parts: string[] = []
  let y = TOP
  for (const { bars, origin } of groups) {
    parts.push(
      polyline(
        [
          { x: BARS.left, y: y - 8 },
          { x: BARS.right, y: y - 8 },
        ],
        { stroke: HAIR, width: 2 },
      ),
    )
    y += LINE - 8
    for (const [index, bar] of bars.entries()) {
      for (const words of broken(bar.words, index === 0 ? BOLD_SIGNS_A_LINE : SIGNS_A_LINE)) {
        parts.push(label({ x: BARS.left, y }, words, { bold: index === 0 }))
        y += LINE
      }
      parts.push(...drawBar(bar, y - LINE + 12, scale))
      y += BAR + 12
    }
    for (const words of broken(origin)) {
      parts.push(label({ x: BARS.left, y }, words, { fill: SOFT }))
      y += LINE
    }
    y += 4
  }
  const foot = [...broken(W.key), ...broken(W.notYours)]
  const footAt = y + 20
  const size = { width: WIDTH, height: footAt + foot.length * LINE - 8 }
  const lines = foot.map((words, index) => label({ x: BARS.left, y: footAt + index * LINE }, words, { fill: INK }))
  const head = label({ x: BARS.left, y: 46 }, W.head(eyeInWords(plan.case)), { bold: true })
  return {
    kind: 'picture',
    svg: drawing(size, [STROKES, head, ...parts, ...lines]),
    alternative: alternativeOf(plan, groups),
    beside: true,
  }
}

const alternativeOf = (plan: Plan, groups: readonly Group[]): string =>
  [
    `${W.head(eyeInWords(plan.case))}.`,
    ...groups.map(({ bars, origin }) => `${bars.map(({ words }) => words).join('; ')} (${origin}).`),
    W.notYours,
  ].join(' ')
