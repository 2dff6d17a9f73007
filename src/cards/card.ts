import type { OpinionKind } from '../consult/opinion.js'
import type { Indicator, Step } from '../terms/steps.js'
import type { FormId } from './form.js'

/**
 * What is shown, free of any chat platform: a short first screen, sections that unfold or follow in the thread,
 * and the choices a reader has. Views turn it into blocks, an adaptive card, a page or plain text; a view may
 * split a card over several messages but never drops a block.
 */
export type Block =
  | { readonly kind: 'line'; readonly text: string; readonly weight: 'plain' | 'strong' | 'quiet' }
  /** A label and what stands there, for a first screen read in seconds. */
  | { readonly kind: 'fact'; readonly label: string; readonly text: string; readonly strong?: boolean }
  | { readonly kind: 'caution'; readonly indicator: Indicator; readonly step: Step; readonly text: string; readonly why?: string }
  | { readonly kind: 'list'; readonly items: readonly string[] }
  | {
      readonly kind: 'table'
      readonly caption: string
      readonly columns: readonly string[]
      readonly rows: readonly (readonly string[])[]
    }
  | { readonly kind: 'question'; readonly text: string }
  /** A drawing of ours. `alternative` carries its numbers in words; `beside`: the same words stand next to it in any case. */
  | { readonly kind: 'picture'; readonly svg: string; readonly alternative: string; readonly beside?: true }

/** A part that unfolds on a page and follows in the thread of a chat. */
export interface Section {
  readonly id: string
  readonly title: string
  /** `page`: read on a page or in a terminal; a chat names it instead of posting it. Absent: everywhere. */
  readonly where?: 'page'
  readonly blocks: readonly Block[]
}

export type ChoiceAction =
  | { readonly action: 'post-draft' | 'correct-draft' | 'cancel-draft'; readonly draftId: string }
  | { readonly action: 'give-opinion'; readonly ref: string; readonly revision: number; readonly opinion: OpinionKind }
  /** Opens a form at once: the adapter asks the desk for it (`formFor`) and shows it; nothing is recorded by opening. */
  | {
      readonly action: 'open-form'
      readonly form: FormId
      readonly ref?: string
      readonly draftId?: string
      readonly revision?: number
    }
  | { readonly action: 'reveal' | 'stop-reminders' | 'near-miss'; readonly ref: string }
  | { readonly action: 'task-done'; readonly ref: string; readonly task: string }

export interface Choice {
  /** At most 30 characters: phones cut longer ones. */
  readonly label: string
  readonly emphasis: 'normal' | 'primary' | 'danger'
  readonly does: ChoiceAction
}

export interface Card {
  readonly title: string
  /** A complete sentence for notifications and screen readers, at most 140 characters. */
  readonly summary: string
  readonly first: readonly Block[]
  readonly sections: readonly Section[]
  readonly choices: readonly Choice[]
  /** What else can be done here, for a view that has room beside the choices, such as a menu; each can be typed as well. */
  readonly more?: readonly Choice[]
  /** How to answer by typing; empty where there is nothing to answer. */
  readonly typing: string
  readonly footer: string
}
