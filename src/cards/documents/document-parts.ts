import { opinionsHidden } from '../../consult/consult.js'
import type { Decided } from '../../consult/decided.js'
import type { Plan } from '../../plan/plan.js'
import { type Advice, adviceForThisEye, byHarm } from '../advice.js'
import type { Block, Card, Section } from '../card.js'
import { eyeInWords } from '../case-words.js'
import { recallBlocks } from '../consult-state.js'
import { eyeWarning } from '../first-screen.js'
import { summarySentence } from '../short-cards.js'
import { type DocumentConsult, seniorReply } from './document-input.js'
import { DOCUMENT_WORDS } from './words-documents-en.js'

export const line = (text: string, weight: 'plain' | 'strong' | 'quiet' = 'plain'): Block => ({ kind: 'line', text, weight })
export const fact = (label: string, text: string, strong = false): Block =>
  strong ? { kind: 'fact', label, text, strong } : { kind: 'fact', label, text }
export const factIf = (label: string, text: string | undefined): readonly Block[] =>
  text === undefined || text === '' ? [] : [fact(label, text)]
export const list = (items: readonly string[]): readonly Block[] => (items.length === 0 ? [] : [{ kind: 'list', items }])
export const section = (id: string, title: string, blocks: readonly Block[]): readonly Section[] =>
  blocks.length === 0 ? [] : [{ id, title, blocks }]

/** A document: the eye stands first in its title, in words and code, and nothing on it can be pressed. */
export function documentCard(
  plan: Plan,
  names: { readonly title: readonly string[]; readonly summary: string; readonly footer: string },
  first: readonly Block[],
  sections: readonly Section[],
): Card {
  const title = [eyeInWords(plan.case), ...names.title].join(' · ')
  return {
    title,
    summary: summarySentence(names.summary, title),
    first: [...eyeWarning(plan), ...first],
    sections,
    choices: [],
    typing: '',
    footer: names.footer,
  }
}

/** The standing decision; a decision on an older revision is still the last word, and says that it is older. */
export const standingDecision = ({ decisions }: DocumentConsult) => decisions.at(-1)

/** What must be seen before anything else: recalled, withdrawn, decided on an older case, or answered by no senior. */
export function standing(consult: DocumentConsult): readonly Block[] {
  const made = standingDecision(consult)
  const reply = seniorReply(consult.opinions)
  const nobody = consult.opinions.length === 0 ? ` ${DOCUMENT_WORDS.noAnswer}` : ''
  const deputy = consult.deputyAsked === undefined ? '' : ` ${DOCUMENT_WORDS.deputyAsked(consult.deputyAsked.deputy)}`
  return [
    ...recallBlocks(consult),
    ...(consult.status === 'withdrawn' ? [line(DOCUMENT_WORDS.withdrawn, 'strong')] : []),
    ...(made === undefined || made.revision === consult.revision
      ? []
      : [line(DOCUMENT_WORDS.olderDecision(made.revision, consult.revision), 'strong')]),
    ...(reply === 'replied'
      ? []
      : [line(`${reply === 'none' ? DOCUMENT_WORDS.noSenior : DOCUMENT_WORDS.seniorNotKnown}${nobody}${deputy}`, 'strong')]),
  ]
}

/** How many opinions are kept back for now, where they are. */
export const keptBack = (consult: DocumentConsult): string | undefined =>
  opinionsHidden(consult) ? DOCUMENT_WORDS.hidden(consult.opinions.length) : undefined

/** Why the surgeon sets this advice aside, where that was recorded: an override names a precaution by its id. */
export const setAsideBecause = ({ lead, others }: Advice, decision: Decided | undefined): string | undefined =>
  decision?.overrides.find(({ precaution }) => [lead, ...others].some(({ id }) => id === precaution))?.because

/** The critical advice of this eye, gravest first. */
export const criticals = (plan: Plan): readonly Advice[] =>
  adviceForThisEye(plan)
    .filter(({ lead }) => lead.indicator === 'critical')
    .sort((one, other) => byHarm(one.lead, other.lead))
