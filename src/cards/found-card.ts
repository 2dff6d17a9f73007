import type { Block, Card } from './card.js'
import { asSentence, dayInWords } from './figures.js'
import { shortCard, summarySentence } from './short-cards.js'
import { WORDS } from './words-en.js'
import { FOUND_WORDS as SAID } from './words-found-en.js'

/** One consult that a search found. */
interface ConsultFound {
  readonly ref: string
  /** ISO date or time. */
  readonly askedAt: string
  readonly askedBy: { readonly name: string; readonly grade?: string }
  readonly opinions: number
  /** Eye, lens and what was hard, in a line; absent where the plan was not read. */
  readonly about?: string
  /** Where the words stand, marked. */
  readonly excerpt?: string
  /** What came of it, in words. */
  readonly outcome?: string
}

/** Which part of what was found is shown. */
interface FoundPart {
  /** From 1. */
  readonly page: number
  readonly perPage: number
  readonly total: number
  /** How many do not state a fact that was asked for. */
  readonly notStated: number
  /** False where there may be more than was looked through. */
  readonly lookedThroughAll: boolean
}

/** A part of what was written to a search that was not understood. */
interface SearchFault {
  readonly item: string
  readonly message: string
  readonly instead: string
}

function foundLine(found: ConsultFound): string {
  const asker = found.askedBy.grade === undefined ? found.askedBy.name : `${found.askedBy.name}, ${found.askedBy.grade}`
  const more = [found.about, found.outcome === undefined ? undefined : SAID.outcome(found.outcome), found.excerpt]
  const parts = [found.ref, dayInWords(found.askedAt), WORDS.askedBy(asker), WORDS.answered(found.opinions)]
  return [...parts, ...more.filter((part) => part !== undefined)].join(' · ')
}

const quiet = (text: string): Block => ({ kind: 'line', text, weight: 'quiet' })

/** What a search found, best match first, one page of it. */
export function foundCard(query: string, results: readonly ConsultFound[], part: FoundPart): Card {
  const { page, perPage, total, notStated, lookedThroughAll } = part
  const before = (page - 1) * perPage
  const after = total - before - results.length
  const pastTheEnd = results.length === 0 && total > 0
  return shortCard(
    WORDS.foundTitle(query),
    summarySentence(WORDS.foundSummary(total, query), WORDS.foundBriefly(total)),
    [
      results.length > 0
        ? { kind: 'list', items: results.map(foundLine) }
        : { kind: 'line', text: pastTheEnd ? SAID.pastTheEnd(total) : WORDS.foundNone, weight: 'plain' },
      ...(results.length < total && results.length > 0 ? [quiet(SAID.shown(before + 1, before + results.length, total))] : []),
      ...(notStated === 0 ? [] : [quiet(SAID.notStated(notStated))]),
      ...(lookedThroughAll ? [] : [quiet(SAID.mayBeMore)]),
      ...(total === 0 ? [quiet(SAID.howTo)] : []),
    ],
    after > 0 ? { typing: SAID.nextPage(query, page + 1) } : {},
  )
}

/** Says of each part that was not understood what is wrong, and what to write. Nothing was searched. */
export const searchFaultsCard = (faults: readonly SearchFault[]): Card =>
  shortCard(SAID.faultsTitle, SAID.faultsSummary, [
    ...faults.map(
      ({ item, message, instead }): Block => ({
        kind: 'fact',
        label: item === '' ? SAID.nothing : `\u201c${item}\u201d`,
        text: `${asSentence(message)} ${SAID.instead(instead)}`,
      }),
    ),
    quiet(SAID.howTo),
  ])
