import type { Card, Choice } from './card.js'
import { CONSULT_WORDS } from './words-consult-en.js'

/** One line of what is open: a consult, what stands there, and what it waits for. */
export interface HomeItem {
  readonly ref: string
  /** Eye, lens and what is hard, in a line. */
  readonly about: string
  /** State, answers, or what is waited for. */
  readonly stands: readonly string[]
}

export interface HomeInput {
  readonly waiting: readonly HomeItem[]
  readonly own: readonly HomeItem[]
  /** A form to put a case, where this place can open one. */
  readonly canOpenForm: boolean
}

const inWords = ({ ref, about, stands }: HomeItem): string => [ref, ...stands, about].join(' · ')

/** What waits for a person, then their own open consults; never anybody else's. */
export function homeCard({ waiting, own, canOpenForm }: HomeInput): Card {
  const words = CONSULT_WORDS.home
  const ask: Choice = { label: words.ask, emphasis: 'primary', does: { action: 'open-form', form: 'ask' } }
  return {
    title: words.title,
    summary: words.summary(waiting.length, own.length),
    first: [
      { kind: 'line', text: words.waiting, weight: 'strong' },
      waiting.length === 0
        ? { kind: 'line', text: words.nothingWaiting, weight: 'plain' }
        : { kind: 'list', items: waiting.map(inWords) },
      { kind: 'line', text: words.own, weight: 'strong' },
      own.length === 0 ? { kind: 'line', text: words.noneOwn, weight: 'plain' } : { kind: 'list', items: own.map(inWords) },
    ],
    sections: [],
    choices: canOpenForm ? [ask] : [],
    typing: words.typing,
    footer: '',
  }
}
