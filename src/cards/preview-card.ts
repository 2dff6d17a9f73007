import type { Plan } from '../plan/plan.js'
import type { Block, Card, Choice } from './card.js'
import { eyeInWords } from './case-words.js'
import { footerOf } from './consult-card.js'
import { asSentence, capitalised } from './figures.js'
import { lensBlocks } from './first-lens.js'
import { postedWithBlocks } from './first-questions.js'
import { cautionBlocks, eyeWarning } from './first-screen.js'
import { CONSULT_WORDS } from './words-consult-en.js'
import { WORDS } from './words-en.js'

/** One item of a message as it was read. */
export interface PreviewItem {
  readonly label: string
  readonly shown: string
  /** The words it was read from, as typed. */
  readonly source: string
  readonly assumed?: string
}

/** Something in the message that needs its asker. */
export interface PreviewProblem {
  /** Line of the message, from 1. */
  readonly line: number
  /** The words it is about, as typed. */
  readonly item: string
  /** Whether it must be settled before the case can be put to the team. */
  readonly blocks: boolean
  readonly message: string
  readonly instead: string
}

export interface PreviewInput {
  readonly items: readonly PreviewItem[]
  readonly problems: readonly PreviewProblem[]
  /** What would be posted, where a plan could be made. */
  readonly plan?: Plan
  readonly draftId: string
  /** Whether nothing outside the message keeps it from being posted. A blocking problem withholds the post in any case. */
  readonly canPost: boolean
  /** Why it cannot be posted although no problem blocks, such as a channel that the bot is not in. */
  readonly cannotPostBecause?: string
}

function problemBlock(problem: PreviewProblem): Block {
  const text = `${asSentence(problem.message)} ${WORDS.writeInstead(problem.instead)}`
  return { kind: 'fact', label: WORDS.problem(problem.line, problem.item), text, strong: problem.blocks }
}

/** Blocking problems before the others; the order of the message within each. */
function problemBlocks(problems: readonly PreviewProblem[]): readonly Block[] {
  const blocking = problems.filter((problem) => problem.blocks)
  const others = problems.filter((problem) => !problem.blocks)
  const heading = (text: string, some: readonly unknown[]): readonly Block[] =>
    some.length === 0 ? [] : [{ kind: 'line', text, weight: 'strong' }]
  return [
    ...heading(WORDS.withheld, blocking),
    ...blocking.map(problemBlock),
    ...heading(WORDS.lookAgain, others),
    ...others.map(problemBlock),
  ]
}

const itemsTable = (items: readonly PreviewItem[]): readonly Block[] =>
  items.length === 0
    ? [{ kind: 'line', text: WORDS.nothingRead, weight: 'plain' }]
    : [
        {
          kind: 'table',
          caption: WORDS.caseTable,
          columns: [...WORDS.caseColumns],
          rows: items.map((item) => [
            capitalised(item.label),
            item.assumed === undefined ? item.shown : `${item.shown} (${WORDS.assumed(item.assumed)})`,
            item.source,
          ]),
        },
      ]

function unread(plan: Plan | undefined): readonly Block[] {
  const items = plan?.case.notUnderstood ?? []
  if (items.length === 0) return []
  return [{ kind: 'fact', label: WORDS.notUnderstood, text: items.map((item) => `“${item.text}”`).join(' · '), strong: true }]
}

function choicesFor(draftId: string, mayPost: boolean): readonly Choice[] {
  const asking: Choice = {
    label: CONSULT_WORDS.askChoice,
    emphasis: 'normal',
    does: { action: 'open-form', form: 'ask', draftId },
  }
  const post: Choice = { label: WORDS.post, emphasis: 'primary', does: { action: 'post-draft', draftId } }
  return [
    ...(mayPost ? [post, asking] : []),
    { label: WORDS.correct, emphasis: mayPost ? 'normal' : 'primary', does: { action: 'correct-draft', draftId } },
    { label: WORDS.cancel, emphasis: 'normal', does: { action: 'cancel-draft', draftId } },
  ]
}

/** How a message was read, for its asker alone, before anything goes to the team. */
export function previewCard(input: PreviewInput): Card {
  const { items, problems, plan, draftId } = input
  const blocked = problems.some((problem) => problem.blocks)
  const mayPost = input.canPost && !blocked && plan !== undefined
  const eye = plan === undefined ? undefined : eyeInWords(plan.case)
  return {
    title: eye === undefined ? WORDS.previewTitle : `${WORDS.previewTitle} · ${eye}`,
    summary: mayPost ? WORDS.previewSummary : WORDS.previewBlocked,
    first: [
      ...(plan === undefined ? [] : eyeWarning(plan)),
      ...(mayPost ? [{ kind: 'line', text: WORDS.onlyYou, weight: 'strong' } as const] : []),
      ...(input.cannotPostBecause === undefined
        ? []
        : [{ kind: 'line', text: asSentence(input.cannotPostBecause), weight: 'strong' } as const]),
      ...problemBlocks(problems),
      ...unread(plan),
      ...(plan === undefined ? [] : [...lensBlocks(plan), ...cautionBlocks(plan), ...postedWithBlocks(plan)]),
      ...itemsTable(items),
    ],
    // Short, so that it is one message to one person: the whole plan is read where it is posted.
    sections: [],
    choices: choicesFor(draftId, mayPost),
    typing: mayPost ? WORDS.previewTyping : WORDS.previewTypingBlocked,
    footer: plan === undefined ? WORDS.defers : footerOf(plan),
  }
}
