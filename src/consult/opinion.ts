import type { Step } from '../terms/steps.js'

export const OPINIONS = [
  'agree',
  'agree-with-changes',
  'need-this-first',
  'not-this-surgeon-alone',
  'do-not-operate-on-this-plan',
] as const
export type OpinionKind = (typeof OPINIONS)[number]

export const OPINION_WORDS: Readonly<Record<OpinionKind, string>> = {
  agree: 'Agree',
  'agree-with-changes': 'Agree, with changes',
  'need-this-first': 'Need this first',
  'not-this-surgeon-alone': 'Not this surgeon alone',
  'do-not-operate-on-this-plan': 'Do not operate on this plan',
}

/** What a colleague answers: one of five, optionally the steps it concerns and a sentence. */
export interface Opinion {
  readonly kind: OpinionKind
  readonly steps: readonly Step[]
  readonly sentence?: string
  /** What would change the colleague's mind. */
  readonly wouldChangeMind?: string
}
