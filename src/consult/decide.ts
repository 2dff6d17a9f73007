import type { ConsultCommand } from './commands.js'
import { type AskedConsult, type Consult, isOpen, opinionsHidden } from './consult.js'
import { finishTask, makeDecision, openTask } from './decide-case.js'
import type { ConsultEvent } from './events.js'
import type { Opinion } from './opinion.js'
import type { Outcome } from './outcome.js'
import { awaitsOutcome } from './outcome-due.js'
import type { Person } from './people.js'
import type { Doing, Refusal } from './refusals.js'

export type { ConsultCommand } from './commands.js'
export { type Refusal, refusalWords } from './refusals.js'

export type Decision = readonly ConsultEvent[] | Refusal

export const isRefusal = (decision: Decision): decision is Refusal => 'refused' in decision

type Later = Exclude<ConsultCommand, { type: 'ask' }>

/**
 * Judges a command against the consult as it stands. No events means that it already stands as wanted.
 *
 * An opinion on an older revision is recorded, as one on that older revision: a colleague's answer is never lost,
 * and the card says which revision it was about. Only somebody who has already answered a newer revision cannot
 * fall back to an older one by an old button.
 */
export function decide(command: ConsultCommand, consult: Consult): Decision {
  if (command.type === 'ask') {
    return consult.status === 'not-asked'
      ? [{ ...command, type: 'consult-asked' }]
      : { refused: 'already-asked', ref: consult.ref }
  }
  return consult.status === 'not-asked' ? { refused: 'no-such-consult' } : onAsked(command, consult)
}

function onAsked(command: Later, consult: AskedConsult): Decision {
  const { ref } = consult
  const { by, at } = command
  switch (command.type) {
    case 'give-opinion':
      return ended(consult) ?? operated(consult, 'opinion') ?? giveOpinion(command, consult)
    case 'reveal':
      if (!opinionsHidden(consult)) return { refused: 'opinions-shown', ref }
      return askerOnly(by, consult, 'lift what hides the opinions') ?? [{ type: 'opinions-revealed', by, at, ref }]
    case 'revise': {
      const refusal = askerOnly(by, consult, 'change the case') ?? ended(consult) ?? operated(consult, 'change')
      if (refusal) return refusal
      if (command.planHash === consult.planHash && command.question === consult.question)
        return { refused: 'nothing-changed', ref }
      return [{ ...command, type: 'consult-revised', ref, revision: consult.revision + 1 }]
    }
    case 'comment':
      return command.text.trim() === '' ? { refused: 'nothing-said', ref } : [{ ...command, type: 'comment-made', ref }]
    case 'edit-comment': {
      const comment = consult.comments.find(({ message }) => message === command.message)
      if (!comment) return { refused: 'no-such-comment', ref }
      if (comment.by.id !== by.id) return { refused: 'comment-of-another', ref }
      return comment.text === command.text ? [] : [{ ...command, type: 'comment-edited', ref }]
    }
    case 'delete-comment': {
      // Whoever runs a channel may take a message out of it as well, so only that it went is kept, not judged.
      const comment = consult.comments.find(({ message }) => message === command.message)
      if (!comment) return { refused: 'no-such-comment', ref }
      return comment.deletedAt === undefined ? [{ ...command, type: 'comment-deleted', ref }] : []
    }
    case 'show-picture':
      return [{ ...command, type: 'picture-shown', ref }]
    case 'open-task':
      return ended(consult) ?? openTask(command, consult)
    case 'finish-task':
      return finishTask(command, consult)
    case 'decide': {
      const refusal = askerOnly(by, consult, 'decide') ?? ended(consult) ?? operated(consult, 'decision')
      return refusal ?? makeDecision(command, consult)
    }
    case 'record-outcome': {
      const { outcome } = command
      // A near miss is whoever's who saw it, at any time: it tells of the operation that nearly went wrong, not of this eye.
      if (outcome.stage === 'near-miss')
        return isTappedTwice(outcome, by, consult) ? [] : [{ type: 'outcome-recorded', by, at, ref, outcome }]
      if (consult.status === 'withdrawn') return { refused: 'consult-ended', ref, status: 'withdrawn' }
      return askerOnly(by, consult, 'record the outcome') ?? [{ type: 'outcome-recorded', by, at, ref, outcome }]
    }
    case 'close': {
      const because = command.because?.trim()
      const refusal = askerOrLead(by, command.lead, consult, 'close it')
      if (refusal) return refusal
      if (consult.status === 'closed') return []
      return ended(consult) ?? [{ type: 'consult-closed', by, at, ref, ...(because ? { because } : {}) }]
    }
    case 'reopen': {
      const refusal = askerOrLead(by, command.lead, consult, 'reopen it')
      if (refusal) return refusal
      if (consult.status === 'asked') return { refused: 'still-open', ref }
      if (command.because.trim() === '') return { refused: 'reason-missing', ref, doing: 'reopen' }
      return [{ type: 'consult-reopened', by, at, ref, because: command.because.trim() }]
    }
    case 'withdraw': {
      const refusal = askerOnly(by, consult, 'withdraw it')
      if (refusal) return refusal
      if (consult.status === 'withdrawn') return []
      if (command.because.trim() === '') return { refused: 'reason-missing', ref, doing: 'withdraw' }
      return (
        ended(consult) ??
        operated(consult, 'withdrawal') ?? [{ type: 'consult-withdrawn', by, at, ref, because: command.because.trim() }]
      )
    }
    case 'reassign': {
      const { to } = command
      const refusal = askerOrLead(by, command.lead, consult, 'give it to somebody else') ?? ended(consult)
      if (refusal) return refusal
      if (to.id === consult.askedBy.id) return { refused: 'already-theirs', ref, name: to.name }
      return [{ type: 'consult-reassigned', by, at, ref, to }]
    }
    case 'ask-deputy': {
      const { deputy } = consult.asking
      if (deputy === undefined) return { refused: 'no-deputy', ref }
      // Somebody has answered, or the deputy was asked: there is no silence to break.
      const needless = consult.deputyAsked !== undefined || consult.opinions.length > 0 || consult.status !== 'asked'
      return needless ? [] : [{ type: 'deputy-asked', by, at, ref, deputy }]
    }
    case 'remind':
      return isOpen(consult) || awaitsOutcome(consult, command.kind)
        ? [{ type: 'reminder-sent', by, at, ref, kind: command.kind, to: command.to }]
        : []
    case 'pause-reminders':
      // Stopped for good is stopped: a second tap adds nothing.
      return consult.paused.some((one) => one.by === by.id && one.kinds === undefined && one.until === undefined)
        ? []
        : [{ ...command, type: 'reminders-paused', ref }]
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
  one.kind === other.kind &&
  one.sentence === other.sentence &&
  one.wouldChangeMind === other.wouldChangeMind &&
  one.steps.join() === other.steps.join()

/** A second tap of the same person on the same day, without a word to tell it from the first. */
function isTappedTwice(outcome: Outcome, by: Person, { outcomes }: AskedConsult): boolean {
  const last = outcomes.at(-1)
  const wordless = outcome.note === undefined && last?.outcome.note === undefined
  return wordless && last?.outcome.stage === 'near-miss' && last.by.id === by.id && last.outcome.on === outcome.on
}

const askerOnly = (by: Person, { ref, askedBy }: AskedConsult, doing: Doing): Refusal | undefined =>
  by.id === askedBy.id ? undefined : { refused: 'asker-only', ref, doing, askedBy: askedBy.name }

const askerOrLead = (by: Person, lead: boolean, { ref, askedBy }: AskedConsult, doing: Doing): Refusal | undefined =>
  by.id === askedBy.id || lead ? undefined : { refused: 'asker-or-lead-only', ref, doing, askedBy: askedBy.name }

const ended = ({ ref, status }: AskedConsult): Refusal | undefined =>
  status === 'closed' || status === 'withdrawn' ? { refused: 'consult-ended', ref, status } : undefined

const operated = ({ ref, status }: AskedConsult, doing: 'opinion' | 'change' | 'decision' | 'withdrawal'): Refusal | undefined =>
  status === 'operated' ? { refused: 'already-operated', ref, doing } : undefined

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
