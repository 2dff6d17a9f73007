import { lensPower } from '../terms/power.js'

/** What only some people may do, as it is said to the others. */
export type Doing =
  | 'change the case'
  | 'decide'
  | 'record the outcome'
  | 'withdraw it'
  | 'lift what hides the opinions'
  | 'close it'
  | 'reopen it'
  | 'give it to somebody else'

/** Why a command is not done. One kind a reason, with what the person needs to know. */
export type Refusal =
  | { readonly refused: 'already-asked'; readonly ref: string }
  | { readonly refused: 'no-such-consult' }
  | { readonly refused: 'own-consult'; readonly ref: string }
  | { readonly refused: 'no-such-revision'; readonly ref: string; readonly given: number; readonly newest: number }
  | { readonly refused: 'answered-newer-revision'; readonly ref: string; readonly given: number; readonly answered: number }
  | { readonly refused: 'nothing-said'; readonly ref: string }
  | { readonly refused: 'asker-only'; readonly ref: string; readonly doing: Doing; readonly askedBy: string }
  | { readonly refused: 'asker-or-lead-only'; readonly ref: string; readonly doing: Doing; readonly askedBy: string }
  | { readonly refused: 'consult-ended'; readonly ref: string; readonly status: 'closed' | 'withdrawn' }
  | {
      readonly refused: 'already-operated'
      readonly ref: string
      readonly doing: 'opinion' | 'change' | 'decision' | 'withdrawal'
    }
  | { readonly refused: 'still-open'; readonly ref: string }
  | { readonly refused: 'nothing-changed'; readonly ref: string }
  | { readonly refused: 'reason-missing'; readonly ref: string; readonly doing: 'reopen' | 'withdraw' }
  | { readonly refused: 'decision-incomplete'; readonly ref: string; readonly missing: 'plan A' | 'who operates' | 'the trigger' }
  | {
      readonly refused: 'lens-needs-reason'
      readonly ref: string
      readonly givenD: number
      readonly recommendedD: number | undefined
    }
  | { readonly refused: 'override-needs-reason'; readonly ref: string; readonly precaution: string }
  | {
      readonly refused: 'no-such-precaution'
      readonly ref: string
      readonly precaution: string
      readonly critical: readonly string[]
    }
  | { readonly refused: 'departure-needs-reason'; readonly ref: string; readonly from: string }
  | { readonly refused: 'no-such-opinion'; readonly ref: string; readonly from: string; readonly given: readonly string[] }
  | { readonly refused: 'objection-not-answered'; readonly ref: string; readonly from: readonly string[] }
  | { readonly refused: 'no-such-task'; readonly ref: string; readonly task: string; readonly open: readonly string[] }
  | { readonly refused: 'no-such-comment'; readonly ref: string }
  | { readonly refused: 'comment-of-another'; readonly ref: string }
  | { readonly refused: 'opinions-shown'; readonly ref: string }
  | { readonly refused: 'already-theirs'; readonly ref: string; readonly name: string }
  | { readonly refused: 'no-deputy'; readonly ref: string }

const OPERATED_WORDS = {
  opinion: 'the operation has been recorded. Write what you think of it as a comment.',
  change: 'the operation has been recorded, so its case is no longer changed. Write in its thread instead.',
  decision: 'the operation has been recorded. A decision is made before it; reopen the consult to take one now: reopen: REASON',
  withdrawal: 'the operation has been recorded. Close it instead: close',
} as const

const listed = (names: readonly string[], none: string): string => (names.length === 0 ? none : names.join(', '))

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
    case 'asker-only':
      return `Only ${refusal.askedBy}, who asked ${refusal.ref}, can ${refusal.doing}. Write in its thread what you suggest.`
    case 'asker-or-lead-only':
      return `Only ${refusal.askedBy}, who asked ${refusal.ref}, or a department lead can ${refusal.doing}.`
    case 'consult-ended':
      return `${refusal.ref} is ${refusal.status}. Whose consult it is can take it up again with: reopen: REASON`
    case 'already-operated':
      return `${refusal.ref}: ${OPERATED_WORDS[refusal.doing]}`
    case 'still-open':
      return `${refusal.ref} is still open; there is nothing to reopen.`
    case 'nothing-changed':
      return `${refusal.ref} already stands like that; nothing was changed.`
    case 'reason-missing':
      return `Say why, so that the team and the trail know it: ${refusal.doing}: REASON`
    case 'decision-incomplete':
      return refusal.missing === 'the trigger'
        ? `A plan B needs what makes you change to it. Add: if …`
        : `The decision lacks ${refusal.missing}. Write: decide: A …; B …; if …; operates …; lens +9.0`
    case 'lens-needs-reason': {
      const plan = refusal.recommendedD === undefined ? 'recommends no lens' : `recommends ${lensPower(refusal.recommendedD)}`
      return `You wrote ${lensPower(refusal.givenD)}; the plan of ${refusal.ref} ${plan}. Say why it differs, such as: lens ${asTyped(refusal.givenD)} because …`
    }
    case 'override-needs-reason':
      return `Setting aside the critical precaution ${refusal.precaution} needs a reason: override ${refusal.precaution} because …`
    case 'no-such-precaution':
      return `“${refusal.precaution}” is no critical precaution that fires on ${refusal.ref}. Those are: ${listed(refusal.critical, 'none')}.`
    case 'departure-needs-reason':
      return `Say why the opinion of ${refusal.from} is not followed: not ${refusal.from} because …`
    case 'no-such-opinion':
      return `“${refusal.from}” has given no opinion on ${refusal.ref}. Given so far: ${listed(refusal.given, 'none')}.`
    case 'objection-not-answered':
      return `${refusal.from.join(' and ')} objected to this plan. Say whether you follow it or why not: follows ${refusal.from[0] ?? ''}; or: not ${refusal.from[0] ?? ''} because …`
    case 'no-such-task':
      return `${refusal.ref} has no open task ${refusal.task}. Open: ${listed(refusal.open, 'none')}.`
    case 'no-such-comment':
      return `That message is not kept on ${refusal.ref}.`
    case 'comment-of-another':
      return `Only who wrote a comment on ${refusal.ref} can change it.`
    case 'opinions-shown':
      return `The opinions on ${refusal.ref} are shown already.`
    case 'already-theirs':
      return `${refusal.ref} is already the consult of ${refusal.name}.`
    case 'no-deputy':
      return `No deputy is named for ${refusal.ref}.`
    default:
      return unreachable(refusal)
  }
}

/** A power as somebody types it: with its sign, without the unit. */
const asTyped = (powerD: number): string => lensPower(powerD).replace(' D', '')

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
