import type { AskedConsult } from '../consult/consult.js'
import { opinionsHidden } from '../consult/consult.js'
import { outcomeInWords } from '../consult/outcome.js'
import { type Query, tokens } from './find.js'

/** How much is shown before the first word that was found, and in all, in characters. */
const LEAD = 40
const LONGEST = 140

/** What people wrote on a consult that a reader of its card sees too, newest question first. */
export function textsOf(consult: AskedConsult): readonly string[] {
  const { question, opinions, comments, decisions, outcomes } = consult
  const decided = decisions.at(-1)?.decision
  return [
    question,
    ...(opinionsHidden(consult) ? [] : opinions.flatMap(({ opinion }) => [opinion.sentence, opinion.wouldChangeMind])),
    ...(decided === undefined ? [] : [decided.planA, decided.planB, decided.trigger]),
    ...outcomes.map(({ outcome }) => outcomeInWords(outcome)),
    ...comments.filter(({ deletedAt }) => deletedAt === undefined).map(({ text }) => text),
  ].filter((text) => text !== undefined && text !== '') as readonly string[]
}

/**
 * The part of the texts in which most of the words were found, each of them between brackets: `soft [zonules], ring ready`.
 * @returns undefined where they stand in none, such as words of the case itself
 */
export function excerptOf(texts: readonly string[], query: Query): string | undefined {
  const wanted = query.phrases.flat()
  const last = wanted.at(-1)
  const hits = (word: string): boolean =>
    tokens(word).some((one) => wanted.includes(one) || (last !== undefined && last.length > 1 && one.startsWith(last)))
  let best: { readonly marked: string; readonly words: number } | undefined
  for (const text of texts) {
    const found = markedIn(text.replace(/\s+/gu, ' ').trim(), hits)
    if (found && found.words > (best?.words ?? 0)) best = found
  }
  return best?.marked
}

const WORD = /[\p{L}\p{N}\p{M}]+(?:[.,]\d+)*/gu

function markedIn(text: string, hits: (word: string) => boolean): { marked: string; words: number } | undefined {
  const found = [...text.matchAll(WORD)].filter(([word]) => hits(word))
  const [first] = found
  if (!first) return undefined
  const from = first.index <= LEAD ? 0 : text.indexOf(' ', first.index - LEAD) + 1
  const begins = from > 0 && from <= first.index ? from : Math.min(from, first.index)
  const cut = text.length - begins <= LONGEST ? text.length : text.lastIndexOf(' ', begins + LONGEST)
  const ends = Math.max(cut, first.index + first[0].length)
  let marked = begins > 0 ? '… ' : ''
  let at = begins
  for (const { 0: word, index } of found) {
    if (index + word.length > ends) break
    marked += `${text.slice(at, index)}[${word}]`
    at = index + word.length
  }
  marked += text.slice(at, ends) + (ends < text.length ? ' …' : '')
  return { marked, words: new Set(found.map(([word]) => word.toLowerCase())).size }
}
