import type { AskedConsult, Consult } from './consult.js'
import type { ConsultAsked, ConsultEvent } from './events.js'
import type { Opinion } from './opinion.js'
import type { Person } from './people.js'

/** What somebody wants done. Who and when come with the command: deciding needs no clock and no ids. */
export type ConsultCommand =
  | ({ readonly type: 'ask' } & Omit<ConsultAsked, 'type'>)
  | {
      readonly type: 'give-opinion'
      readonly by: Person
      readonly at: string
      /** The revision that the colleague had before them. */
      readonly revision: number
      readonly opinion: Opinion
    }
  | { readonly type: 'comment'; readonly by: Person; readonly at: string; readonly text: string }

/** Why a command is not done. One kind a reason, with what the person needs to know. */
export type Refusal =
  | { readonly refused: 'already-asked'; readonly ref: string }
  | { readonly refused: 'no-such-consult' }
  | { readonly refused: 'own-consult'; readonly ref: string }
  | { readonly refused: 'no-such-revision'; readonly ref: string; readonly given: number; readonly newest: number }
  | { readonly refused: 'answered-newer-revision'; readonly ref: string; readonly given: number; readonly answered: number }
  | { readonly refused: 'nothing-said'; readonly ref: string }

export type Decision = readonly ConsultEvent[] | Refusal

export const isRefusal = (decision: Decision): decision is Refusal => 'refused' in decision

/**
 * Judges a command against the consult as it stands. No events means that it already stands as wanted.
 *
 * An opinion on an older revision is recorded, as one on that older revision: a colleague's answer is never lost,
 * and the card says which revision it was about. Only somebody who has already answered a newer revision cannot
 * fall back to an older one by an old button.
 */
export function decide(command: ConsultCommand, consult: Consult): Decision {
  switch (command.type) {
    case 'ask':
      return consult.status === 'asked' ? { refused: 'already-asked', ref: consult.ref } : [{ ...command, type: 'consult-asked' }]
    case 'give-opinion':
      return consult.status === 'asked' ? giveOpinion(command, consult) : { refused: 'no-such-consult' }
    case 'comment':
      if (consult.status !== 'asked') return { refused: 'no-such-consult' }
      if (command.text.trim() === '') return { refused: 'nothing-said', ref: consult.ref }
      return [{ ...command, type: 'comment-made', ref: consult.ref }]
    default:
      return unreachable(command)
  }
}

function giveOpinion(command: Extract<ConsultCommand, { type: 'give-opinion' }>, consult: AskedConsult): Decision {
  const { ref } = consult
  const { by, at, revision, opinion } = command
  if (by.id === consult.askedBy.id) return { refused: 'own-consult', ref }
  if (!(Number.isInteger(revision) && revision >= 1 && revision <= consult.revision)) {
    return { refused: 'no-such-revision', ref, given: revision, newest: consult.revision }
  }
  const current = consult.opinions.find((given) => given.by.id === by.id)
  if (current && current.revision > revision) {
    return { refused: 'answered-newer-revision', ref, given: revision, answered: current.revision }
  }
  if (current && current.revision === revision && same(current.opinion, opinion)) return []
  return [{ type: 'opinion-given', by, at, ref, revision, opinion }]
}

const same = (one: Opinion, other: Opinion): boolean =>
  one.kind === other.kind && one.sentence === other.sentence && one.steps.join() === other.steps.join()

/** What the person is told: what was refused, why, and what to do instead. */
export function refusalWords(refusal: Refusal): string {
  switch (refusal.refused) {
    case 'already-asked':
      return `${refusal.ref} has already been put to the team.`
    case 'no-such-consult':
      return 'There is no such consult here. Search with: find WORDS'
    case 'own-consult':
      return `${refusal.ref} is your own consult: the opinions on it are your colleagues'. Write in its thread to add a comment.`
    case 'no-such-revision':
      return `${refusal.ref} has no revision ${refusal.given}; the newest is ${refusal.newest}. Answer on the newest card.`
    case 'answered-newer-revision':
      return `You have already answered revision ${refusal.answered} of ${refusal.ref}; this button belongs to revision ${refusal.given}. Answer on the newest card.`
    case 'nothing-said':
      return `Nothing was written to add to ${refusal.ref}.`
    default:
      return unreachable(refusal)
  }
}

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
