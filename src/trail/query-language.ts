import type { Eye } from '../terms/eye.js'
import { STEPS, type Step } from '../terms/steps.js'
import { type AskedFor, asksForFacts, type FactRange } from './asked-for.js'
import { MOST_WORDS, tokens } from './find.js'
import { dayWish } from './query-days.js'
import { isUnitOf, LONGEST_NAME, SEARCHABLE_NAMES, type Searchable, searchableNamed } from './query-names.js'

export interface QueryFault {
  /** The part that was not understood, as it was written. */
  readonly item: string
  readonly message: string
  readonly instead: string
}

export type ReadQuery =
  | { readonly kind: 'query'; readonly query: AskedFor }
  | { readonly kind: 'faults'; readonly faults: readonly QueryFault[] }

/** Far more than anybody types; a longer text is no search. */
const LONGEST_QUERY = 500

/**
 * Reads what somebody looks for: plain words, "words side by side", ranges of measured facts (`AL>30`, `AL 28-30`,
 * `target < -2`, `ECD under 1500`) and `step:nucleus`, `by:Alder`, `eye:left`, `outcome:rupture`, `from:2026-01-01`,
 * `to:2026-03`. Never throws; every part that was not understood is named with what to write instead.
 */
export function readQuery(text: string): ReadQuery {
  if (text.length > LONGEST_QUERY) {
    return {
      kind: 'faults',
      faults: [{ item: `${text.slice(0, 40)}…`, message: 'This is too long for a search.', instead: 'brown staphyloma' }],
    }
  }
  const found: Found = { phrases: [], ranges: [], steps: [], by: [], outcome: [], faults: [] }
  const items = itemsOf(text)
  for (let place = 0; place < items.length; ) place += Math.max(1, takeItem(items, place, found))
  const { faults, phrases, eye, from, to, ranges, steps, by, outcome } = found
  if (from !== undefined && to !== undefined && from > to)
    faults.push({
      item: `from:${from} to:${to}`,
      message: 'The first day lies after the last, so that nothing can be found; change them over.',
      instead: `from:${to} to:${from}`,
    })
  if (faults.length > 0) return { kind: 'faults', faults }
  const words = phrases.slice(0, MOST_WORDS)
  const query: AskedFor = {
    ...(words.length === 0 ? {} : { words: { phrases: words } }),
    ...(eye === undefined ? {} : { eye }),
    ...(from === undefined ? {} : { from }),
    ...(to === undefined ? {} : { to }),
    ranges,
    steps,
    by,
    outcome,
  }
  if (words.length > 0 || asksForFacts(query)) return { kind: 'query', query }
  return {
    kind: 'faults',
    faults: [{ item: text.trim(), message: 'Nothing to look for was written.', instead: 'staphyloma sub-Tenon AL>30' }],
  }
}

interface Item {
  readonly text: string
  readonly quoted: boolean
}

interface Found {
  readonly phrases: (readonly string[])[]
  readonly ranges: FactRange[]
  readonly steps: Step[]
  readonly by: (readonly string[])[]
  readonly outcome: ('recorded' | 'missing' | readonly string[])[]
  readonly faults: QueryFault[]
  eye?: Eye
  from?: string
  to?: string
}

const COMPARISON = /^(?:>=|<=|=>|=<|>|<|=)$/
const SIGNS = />=|<=|=>|=<|[<>=]/g

/** The parts of the text: quoted ones whole, comparison signs by themselves, every kind of minus as the same sign. */
function itemsOf(text: string): readonly Item[] {
  return text.split('"').flatMap((part, index): readonly Item[] => {
    if (index % 2 === 1) return [{ text: part, quoted: true }]
    const spaced = part
      .replaceAll('≥', '>=')
      .replaceAll('≤', '<=')
      .replace(/[\u2212\u2010-\u2015]/g, '-')
      .replace(/(\d),(?=\d)/g, '$1.')
      .replace(/[,;](?=\s|$)/g, ' ')
      .replace(SIGNS, ' $& ')
    return spaced.split(/\s+/u).flatMap((word) => (word === '' ? [] : [{ text: word, quoted: false }]))
  })
}

/** @returns how many items were taken */
function takeItem(items: readonly Item[], place: number, found: Found): number {
  const item = items[place]
  if (item === undefined) return 1
  if (item.quoted) return takeWords(item.text, found)
  if (COMPARISON.test(item.text)) {
    const before = items[place - 1]?.text ?? ''
    found.faults.push({
      item: `${before} ${item.text} ${items[place + 1]?.text ?? ''}`.trim(),
      message: `Only these can be compared: ${SEARCHABLE_NAMES.join(', ')}.`,
      instead: 'AL > 30',
    })
    return 2
  }
  const keyed = /^(\p{L}{2,}):(.*)$/su.exec(item.text)
  if (keyed) return takeKeyed(keyed[1] ?? '', keyed[2] ?? '', items, place, found)
  for (let length = LONGEST_NAME; length > 0; length -= 1) {
    const named = items.slice(place, place + length)
    if (named.length < length || named.some(({ quoted }) => quoted)) continue
    const searchable = searchableNamed(named.map(({ text }) => text).join(' '))
    if (!searchable) continue
    const taken = takeRange(searchable, items, place + length, found)
    if (taken > 0) return length + taken
  }
  return takeWords(item.text, found)
}

function takeWords(text: string, found: Found): number {
  const words = tokens(text)
  if (words.length > 0) found.phrases.push(words)
  return 1
}

const WORDS_THAT_COMPARE: ReadonlyMap<string, string> = new Map([
  ['over', '>'],
  ['above', '>'],
  ['under', '<'],
  ['below', '<'],
])

/** @returns how many items after the name belong to its range; 0 when none follows and the name is just a word */
function takeRange(searchable: Searchable, items: readonly Item[], place: number, found: Found): number {
  const at = (offset: number): string => (items[place + offset]?.quoted === false ? (items[place + offset]?.text ?? '') : '')
  const sign = COMPARISON.test(at(0)) ? at(0) : WORDS_THAT_COMPARE.get(at(0).toLowerCase())
  if (sign !== undefined) {
    const number = numberOf(at(1))
    // "lens over" is talk; "lens >" is a comparison that lacks its number.
    if (!number && !COMPARISON.test(at(0))) return 0
    const taken = 2 + unitAfter(searchable, at(2))
    addRange(searchable, found, `${searchable.short} ${sign} ${at(1)}`.trim(), sign, number)
    return number ? taken : 2
  }
  const offset = at(0).toLowerCase() === 'between' ? 1 : 0
  const joined = /^([+-]?\d+(?:\.\d+)?)-([+-]?\d.*)$/.exec(at(offset))
  const apart = ['to', 'and', '-'].includes(at(offset + 1).toLowerCase())
  const [from, to, taken] = joined ? [joined[1], joined[2], 1] : apart ? [at(offset), at(offset + 2), 3] : []
  const [low, high] = [numberOf(from ?? ''), numberOf(to ?? '')]
  if (taken === undefined || !low || !high) return 0
  const written = `${searchable.short} ${from}-${to}`
  if (isFaulty(searchable, found, written, low) || isFaulty(searchable, found, written, high)) return offset + taken
  const [least, most] = low.value <= high.value ? [low.value, high.value] : [high.value, low.value]
  found.ranges.push({ fact: searchable.fact, low: least, high: most, lowIncluded: true, highIncluded: true })
  return offset + taken + unitAfter(searchable, at(offset + taken))
}

const unitAfter = (searchable: Searchable, text: string): number => (isUnitOf(searchable, text) ? 1 : 0)

interface WrittenNumber {
  readonly value: number
  readonly unit: string
}

function numberOf(text: string): WrittenNumber | undefined {
  const parts = /^([+-]?\d{1,7}(?:\.\d{1,7})?)(\D*)$/.exec(text)
  return parts ? { value: Number(parts[1]), unit: parts[2] ?? '' } : undefined
}

function isFaulty(searchable: Searchable, found: Found, item: string, { value, unit }: WrittenNumber): boolean {
  const { short, low, high } = searchable
  const example = `${short} > ${Math.round((low + high) / 3)}`
  if (unit !== '' && !isUnitOf(searchable, unit)) {
    found.faults.push({ item, message: `${short} is kept in ${searchable.unit}, not in "${unit}".`, instead: example })
    return true
  }
  if (value >= low && value <= high) return false
  found.faults.push({
    item,
    message: `${value} ${searchable.unit} is no ${short} that an eye has; check unit and point.`,
    instead: example,
  })
  return true
}

function addRange(searchable: Searchable, found: Found, item: string, sign: string, number: WrittenNumber | undefined): void {
  const { fact, short } = searchable
  if (!number) {
    found.faults.push({
      item,
      message: 'A number is missing after the sign.',
      instead: `${short} ${sign} ${Math.round(searchable.high / 3)}`,
    })
    return
  }
  if (isFaulty(searchable, found, item, number)) return
  const included = sign.includes('=')
  const bounds =
    sign === '=' ? { low: number.value, high: number.value } : sign.includes('>') ? { low: number.value } : { high: number.value }
  found.ranges.push({ fact, ...bounds, lowIncluded: included, highIncluded: included })
}

const EYES: ReadonlyMap<string, Eye> = new Map([
  ...['left', 'le', 'os'].map((word) => [word, 'left'] as const),
  ...['right', 're', 'od'].map((word) => [word, 'right'] as const),
])
const KEYS = 'step:, by:, eye:, outcome:, from:, to:'

/** `key:value`, or `key:` with its value after a blank. */
function takeKeyed(key: string, attached: string, items: readonly Item[], place: number, found: Found): number {
  const value = attached === '' ? (items[place + 1]?.text ?? '') : attached
  const taken = attached === '' ? 2 : 1
  const item = `${key}:${value}`
  const refuse = (message: string, instead: string): number => {
    found.faults.push({ item, message, instead })
    return taken
  }
  const words = tokens(value)
  switch (key.toLowerCase()) {
    case 'step': {
      const step = STEPS.find((one) => one === value.toLowerCase())
      if (step === undefined) return refuse(`There is no such step. The steps are ${STEPS.join(', ')}.`, 'step:nucleus')
      found.steps.push(step)
      return taken
    }
    case 'by':
      if (words.length === 0) return refuse('A name is missing.', 'by:Alder')
      found.by.push(words)
      return taken
    case 'eye': {
      const eye = EYES.get(value.toLowerCase())
      if (eye === undefined) return refuse('An eye is left or right.', 'eye:left')
      found.eye = eye
      return taken
    }
    case 'outcome':
      if (words.length === 0) return refuse('Say what the outcome was, or whether there is one.', 'outcome:recorded')
      found.outcome.push(value === 'recorded' || value === 'missing' ? value : words)
      return taken
    case 'from':
    case 'to': {
      const bound = key.toLowerCase() === 'from' ? 'from' : 'to'
      const day = dayWish(value, bound)
      if (day === undefined) return refuse('This is no day, month or year of the calendar.', `${bound}:2026-03-02`)
      found[bound] = day
      return taken
    }
    default:
      return searchableNamed(key)
        ? refuse(
            'A measured fact is compared, not named with a colon.',
            `${key.toUpperCase()} > 30, or ${key.toUpperCase()} 28-30`,
          )
        : refuse(`This is nothing to search by. There are ${KEYS}.`, `"${key} ${value}"`)
  }
}
