import type { Block, Card } from './card.js'
import { spoken } from './case-words.js'
import { asSentence, capitalised } from './figures.js'
import { WORDS } from './words-en.js'

/** Something that may identify a patient: its kind and where it stood, never the text. */
export interface IdentifierFound {
  readonly kind: string
  /** Line of the message, from 1. */
  readonly line: number
}

const SUMMARY_AT_MOST = 140

/** A sentence short enough for a notification: whole where it fits, else its first sentence, else `fallback`. The card says it all. */
export function summarySentence(text: string, fallback: string): string {
  if (text.length <= SUMMARY_AT_MOST) return text
  const first = /^.*?[.!?](?=\s|$)/.exec(text)?.[0] ?? ''
  return first !== '' && first.length <= SUMMARY_AT_MOST ? first : fallback
}

export const shortCard = (title: string, summary: string, first: readonly Block[], rest: Partial<Card> = {}): Card => ({
  title,
  summary,
  first,
  sections: [],
  choices: [],
  typing: '',
  footer: '',
  ...rest,
})

/** In place of a message that a card no longer needs since it has become shorter. */
export const replacedPartCard = (title: string): Card =>
  shortCard(WORDS.replacedTitle(title), WORDS.replacedSummary(title), [{ kind: 'line', text: WORDS.replaced, weight: 'quiet' }])

/** Says that a message was not taken in, which kinds of identifier stood where, and what to do. Repeats none of it. */
export const identifiersCard = (found: readonly IdentifierFound[]): Card =>
  shortCard(WORDS.identifiersTitle, WORDS.identifiersSummary, [
    { kind: 'line', text: WORDS.identifiersKept, weight: 'strong' },
    { kind: 'list', items: found.map((one) => capitalised(WORDS.identifierAt(spoken(one.kind), one.line))) },
    { kind: 'line', text: WORDS.identifiersWhy, weight: 'plain' },
  ])

/** What to write, with examples that can be copied. */
export const guidanceCard = (message: string, examples: readonly string[]): Card =>
  shortCard(
    WORDS.guidanceTitle,
    summarySentence(message, WORDS.guidanceSummary),
    [
      { kind: 'line', text: message, weight: 'plain' },
      ...(examples.length === 0
        ? []
        : ([
            { kind: 'line', text: WORDS.guidanceExamples, weight: 'quiet' },
            { kind: 'list', items: examples },
          ] as const)),
    ],
    { footer: WORDS.defers },
  )

/** The workflow says no, in one sentence. */
export const refusalCard = (sentence: string): Card =>
  shortCard(WORDS.refusalTitle, summarySentence(sentence, WORDS.refusalSummary), [
    { kind: 'line', text: asSentence(sentence), weight: 'plain' },
  ])

/** In the place of a consult's card whose plan was erased: its time had passed, or it held what must not be kept. */
export const erasedCard = (ref: string): Card =>
  shortCard(WORDS.erasedTitle(ref), WORDS.erasedSentence, [{ kind: 'line', text: WORDS.erasedSentence, weight: 'plain' }])

/** Something to tell one person. */
export const noteCard = (sentence: string): Card =>
  shortCard(WORDS.noteTitle, summarySentence(sentence, WORDS.noteSummary), [
    { kind: 'line', text: asSentence(sentence), weight: 'plain' },
  ])
