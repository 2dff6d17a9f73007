import type { Plan } from '../plan/plan.js'
import type { Block, Card } from './card.js'
import { shortCard } from './short-cards.js'
import { sourcesSection } from './sources.js'
import { WORKING_WORDS } from './words-working-en.js'
import { workings } from './working.js'

/** As many as one reads on a phone at once; of more, their names are listed to choose from. */
const SHOWN_AT_ONCE = 3

/**
 * The working of the numbers that somebody names: by words of what they are, by their place in the list, or by the number
 * itself as it stands on the card. Named by nothing, or by nothing that there is: the list of all.
 */
export function workingCard(ref: string, plan: Plan, wanted: string): Card {
  const all = workings(plan)
  const listed = all.map(({ title }, index) => ({ title: `${index + 1}. ${title}`, index }))
  const found = wanted === '' ? [] : foundIn(all, wanted)
  const words = WORKING_WORDS
  const such = words.such(all[0]?.title.split(',')[0] ?? '')
  if (all.length === 0) return workingOf(ref, [line(words.none)])
  if (found.length > 0 && found.length <= SHOWN_AT_ONCE)
    return workingOf(
      ref,
      found.flatMap((index) => all[index]?.blocks ?? []),
    )
  const choices = found.length > 0 ? listed.filter(({ index }) => found.includes(index)) : listed
  const why = wanted === '' ? words.choose : found.length > 0 ? words.several(found.length, wanted) : words.notFound(wanted)
  return workingOf(ref, [line(`${why} ${such}`), { kind: 'list', items: choices.map(({ title }) => title) }])
}

const line = (text: string): Block => ({ kind: 'line', text, weight: 'plain' })

const workingOf = (ref: string, first: readonly Block[]): Card =>
  shortCard(WORKING_WORDS.title(ref), WORKING_WORDS.summary(ref), first)

/** Every work that a consult's plan cites, once and in full, with how it was seen. */
export function sourcesCard(ref: string, plan: Plan): Card {
  const blocks = sourcesSection(plan).flatMap((section) => section.blocks)
  return shortCard(WORKING_WORDS.sourcesTitle(ref), WORKING_WORDS.sourcesSummary(ref), blocks)
}

type Workings = ReturnType<typeof workings>

function foundIn(all: Workings, wanted: string): readonly number[] {
  const place = /^(?:no\.?\s*|#)?(?<place>\d{1,3})\.?$/iu.exec(wanted)?.groups?.['place']
  if (place !== undefined && all[Number(place) - 1] !== undefined) return [Number(place) - 1]
  const words = wordsOf(wanted)
  const named = indexesOf(all, ({ title }) => {
    const own = wordsOf(title)
    return words.length > 0 && words.every((word) => own.some((one) => one.startsWith(word)))
  })
  return named.length > 0 ? named : valued(all, wanted)
}

/** Numbers are shown rounded: 2.41 is any of -2.414 and 2.406. */
function valued(all: Workings, wanted: string): readonly number[] {
  const written = /[+\u2212-]?\d+(?:[.,]\d+)?/u
    .exec(wanted)?.[0]
    .replace(/[+\u2212-]/u, '')
    .replace(',', '.')
  if (written === undefined) return []
  const decimals = written.split('.')[1]?.length ?? 0
  return indexesOf(all, ({ values }) => values.some((value) => Math.abs(value).toFixed(decimals) === written))
}

const indexesOf = (all: Workings, matches: (one: Workings[number]) => boolean): readonly number[] =>
  all.flatMap((one, index) => (matches(one) ? [index] : []))

const wordsOf = (text: string): readonly string[] =>
  text
    .toLowerCase()
    .replace(/\b(?:the|of|a|an|for)\b/gu, ' ')
    .split(/[^\p{L}\p{N}]+/u)
    .filter((word) => word !== '' && !/^\d+$/u.test(word))
