import type { Decided } from './decided.js'
import type { ConsultAsked, ConsultRevised, ReminderKind, TaskOpened } from './events.js'
import type { Opinion } from './opinion.js'
import type { Outcome } from './outcome.js'
import type { Person } from './people.js'

interface Wanted {
  readonly by: Person
  readonly at: string
}

/** What the plan says that a decision is held against. */
export interface DecisionGround {
  /** Dioptres, signed; absent where the plan recommends no lens. */
  readonly recommendedPowerD?: number
  /** The critical precautions that fire for this eye. */
  readonly critical: readonly { readonly id: string; readonly text: string }[]
}

/** What somebody wants done. Who and when come with the command: deciding needs no clock and no ids. */
export type ConsultCommand =
  | ({ readonly type: 'ask' } & Omit<ConsultAsked, 'type'>)
  | (Wanted & {
      readonly type: 'give-opinion'
      /** The revision that the colleague had before them. */
      readonly revision: number
      readonly opinion: Opinion
    })
  | (Wanted & { readonly type: 'reveal' })
  | (Wanted & { readonly type: 'revise' } & Pick<ConsultRevised, 'planHash' | 'words' | 'question' | 'changed'>)
  | (Wanted & { readonly type: 'comment'; readonly text: string; readonly message?: string })
  | (Wanted & { readonly type: 'edit-comment'; readonly message: string; readonly text: string })
  | (Wanted & { readonly type: 'delete-comment'; readonly message: string })
  | (Wanted & { readonly type: 'show-picture'; readonly said: string; readonly message?: string })
  | (Wanted & { readonly type: 'open-task' } & Pick<TaskOpened, 'what' | 'owner' | 'reached' | 'due' | 'from' | 'fact'>)
  | (Wanted & { readonly type: 'finish-task'; readonly task: string; readonly result?: string })
  | (Wanted & { readonly type: 'decide'; readonly decision: Decided; readonly ground: DecisionGround })
  | (Wanted & { readonly type: 'record-outcome'; readonly outcome: Outcome })
  | (Wanted & { readonly type: 'close'; readonly lead: boolean; readonly because?: string })
  | (Wanted & { readonly type: 'reopen'; readonly lead: boolean; readonly because: string })
  | (Wanted & { readonly type: 'withdraw'; readonly because: string })
  | (Wanted & { readonly type: 'reassign'; readonly lead: boolean; readonly to: Person })
  | (Wanted & { readonly type: 'ask-deputy' })
  | (Wanted & { readonly type: 'remind'; readonly kind: ReminderKind; readonly to: readonly string[] })
  | (Wanted & { readonly type: 'pause-reminders'; readonly kinds?: readonly ReminderKind[]; readonly until?: string })
