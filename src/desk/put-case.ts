import type { Card } from '../cards/card.js'
import { previewCard } from '../cards/preview-card.js'
import { identifiersCard, noteCard } from '../cards/short-cards.js'
import type { Case } from '../case/case.js'
import { settledAsking } from '../consult/asking.js'
import { NOT_ASKED } from '../consult/consult.js'
import { decide, isRefusal, refusalWords } from '../consult/decide.js'
import type { Asking } from '../consult/events.js'
import type { Place } from '../consult/people.js'
import { contentHash as shortHash } from '../plan/content-hash.js'
import type { Plan } from '../plan/plan.js'
import { contentHash } from '../trail/chain.js'
import { searchWords } from '../trail/words.js'
import type { DeskDeps } from './deps.js'
import { guidance } from './guidance.js'
import { whyNotThere } from './may-post.js'
import type { Inbound } from './ports.js'
import { answerWith, note, only, refuse, standing } from './replies.js'
import { isPersonal } from './rooms.js'
import { type DeskView, type Draft, type DraftAsking, type Effects, type KeptDraft, NO_EFFECTS } from './store.js'
import { untold } from './whom.js'

/**
 * Tells a plan from any other that might be made of the same case. Its versions stand for all words and coefficients, so that
 * only they and what was computed need be looked at, a fifth of the whole. Not the simulated operations: they follow from
 * the versions and the rest of the forecast, no preview shows them, and its asker need not wait for them.
 */
function fingerprint({ versions, lens, risks, surgery, precautions, tensions }: Plan): string {
  const { forecast, ...shown } = lens
  const { simulated: _simulated, ...forecastShown } = forecast ?? {}
  return shortHash([
    versions,
    [shown, forecastShown],
    [...risks, ...surgery].map(({ words }) => words),
    precautions.map(({ id, finding }) => `${id} ${finding}`),
    tensions.map(({ id }) => id),
  ])
}

const OUTDATED = 'This preview was made by an earlier version of Soundings. Send the case again for a new one.'

/** A plan is not posted unseen after this time: its preview has to be made anew. */
const DRAFT_KEEPS_DAYS = 7
const DAY_MS = 24 * 60 * 60 * 1000

export interface CaseToPreview {
  readonly text: string
  readonly hasPicture: boolean
  readonly asking?: DraftAsking
  /** Where it is to be posted, when that is not where it was written. */
  readonly place?: Place
}

/** Reads a text as a case and shows its asker how it was read. */
export async function previewCase(
  inbound: Inbound,
  { text, hasPicture, asking, place = inbound.place }: CaseToPreview,
  deps: DeskDeps,
): Promise<Effects> {
  const understood = deps.understand(text, { today: deps.today(), lensLabels: deps.lensLabels, hasPicture })
  switch (understood.kind) {
    case 'identifiers':
      return only(inbound, identifiersCard(understood.found))
    case 'guidance':
      return only(inbound, guidance(understood.message))
    case 'case': {
      const { items, problems } = understood
      // As it will be read again when it is put to the team, so that the plan is then the same to the bit.
      const known = JSON.parse(JSON.stringify(understood.case)) as Case
      const plan = await deps.makePlan(known, { simulated: false })
      const blockedBy = problems.filter(({ blocks }) => blocks).map(({ message }) => message)
      const draft: Draft = {
        id: deps.names.draftId(),
        by: inbound.by.id,
        place,
        at: deps.clock.now(),
        text,
        case: known,
        fingerprint: fingerprint(plan),
        blockedBy,
        ...(asking === undefined ? {} : { asking }),
      }
      const card = previewCard({ items, problems, plan, draftId: draft.id, canPost: blockedBy.length === 0 })
      return { ...NO_EFFECTS, drafts: [{ change: 'put', draft }], outbound: [answerWith(inbound, card)] }
    }
    default:
      return unreachable(understood)
  }
}

type OpenDraft = Extract<KeptDraft, { text: string }>

/** Puts a draft to the team, as its asker saw it. */
export async function postDraft(
  inbound: Inbound,
  draftId: string,
  view: DeskView,
  deps: DeskDeps,
  { asking: typed = {}, place: elsewhere }: { readonly asking?: Asking; readonly place?: Place } = {},
): Promise<Effects> {
  const draft = await ownDraft(inbound, draftId, view)
  if ('outbound' in draft) return draft
  if (draft.state === 'posted')
    return note(inbound, `This was put to the team before, as ${draft.ref}. It is not posted a second time`)
  if (draft.state === 'cancelled') return refuse(inbound, 'This preview was cancelled. Send the case again for a new one')
  if (draft.state === 'corrected')
    return withText(inbound, draft, 'This preview was set aside for correction. Send the corrected case for a new one.')
  if (draft.state === 'outdated') return withText(inbound, draft, OUTDATED)
  if (draft.blockedBy.length > 0)
    return withText(inbound, draft, `It cannot be posted yet: ${draft.blockedBy.join(' ')} Correct it and send it again.`)
  const at = deps.clock.now()
  if (Date.parse(at) - Date.parse(draft.at) > DRAFT_KEEPS_DAYS * DAY_MS) {
    return withText(
      inbound,
      draft,
      `This preview is from ${draft.at.slice(0, 10)}: older than ${DRAFT_KEEPS_DAYS} days. Send the case again and look at the new one before it goes to the team.`,
    )
  }

  // looked at again: whoever was in the channel when the preview was made may have left it since
  const chosen = elsewhere ?? (draft.asking?.elsewhere === true ? draft.place : undefined)
  const whyNot = chosen === undefined ? undefined : await whyNotThere(inbound.by, chosen, deps)
  if (whyNot !== undefined) return refuse(inbound, whyNot)

  const plan = await deps.makePlan(draft.case)
  // Other rules, another lens list or another version since: nothing is posted that its asker did not see.
  if (fingerprint(plan) !== draft.fingerprint) return withText(inbound, draft, OUTDATED)
  const ref = await deps.names.consultRef(async (candidate) => (await view.events(candidate)).length > 0)
  const place = withoutThread(elsewhere ?? draft.place)
  const planHash = contentHash(plan)
  const question = plan.case.question?.value
  const by = await standing(inbound.by, view)
  const asking = settledAsking(asked(draft.asking, typed), at, plan.case.surgeryDate?.value, deps.answerWithinHours)
  const words = searchWords(plan)
  const asIs = { by, at, ref, place, planHash, ...(question === undefined ? {} : { question }), words, ...asking }
  const decision = decide({ type: 'ask', ...asIs }, NOT_ASKED)
  if (isRefusal(decision)) return refuse(inbound, refusalWords(decision))
  const tell = { to: inbound.by, place: inbound.place, reply: inbound.reply }
  return {
    ...NO_EFFECTS,
    events: decision,
    expected: 0,
    plans: [{ hash: planHash, plan }],
    drafts: [{ change: 'posted', id: draft.id, ref }],
    outbound: [
      { kind: 'consult-card', ref, place, tell },
      answerWith(inbound, noteCard([putAs(ref), ...notTold(asking)].join('. '))),
    ],
  }
}

const putAs = (ref: string): string => `Put to the team as ${ref}. Opinions appear on its card; write in its thread to add to it`

const namedIn = ({ asked: names = [], deputy }: Asking): readonly string[] => [
  ...names,
  ...(deputy === undefined ? [] : [deputy]),
]

const notTold = (asking: Asking): readonly string[] => untold(namedIn(asking), asking.reached ?? [])

/** How it is put: as its form said, and where something was typed with `post`, as that says. */
function asked(draft: DraftAsking | undefined, typed: Asking): Asking {
  const { elsewhere: _elsewhere, ...before } = draft ?? {}
  const { reached: _reached, ...whole } = { ...before, ...typed }
  const names = namedIn(whole)
  const reached = [...(typed.reached ?? []), ...(before.reached ?? [])].filter(({ of }) => names.includes(of))
  return { ...whole, ...(reached.length === 0 ? {} : { reached }) }
}

/** Gives the text back to be edited; the preview it came from can no longer be posted. */
export async function correctDraft(inbound: Inbound, draftId: string, view: DeskView): Promise<Effects> {
  const draft = await ownDraft(inbound, draftId, view)
  if ('outbound' in draft) return draft
  if (draft.state === 'posted')
    return refuse(inbound, `This was put to the team as ${draft.ref}. Write the correction in its thread`)
  if (draft.state === 'cancelled') return refuse(inbound, 'This preview was cancelled. Send the case again for a new one')
  const back = withText(inbound, draft, 'Copy the text below, correct it, and send it again.')
  return draft.state === 'open' ? { ...back, drafts: [{ change: 'corrected', id: draft.id }] } : back
}

export async function cancelDraft(inbound: Inbound, draftId: string, view: DeskView): Promise<Effects> {
  const draft = await ownDraft(inbound, draftId, view)
  if ('outbound' in draft) return draft
  if (draft.state === 'posted')
    return refuse(inbound, `This was put to the team as ${draft.ref}; a preview that was posted cannot be cancelled`)
  const done = note(inbound, 'Cancelled. Nothing was posted, and the text was not kept')
  return draft.state === 'cancelled' ? done : { ...done, drafts: [{ change: 'cancelled', id: draft.id }] }
}

/** The draft, or the answer to somebody whose draft it is not. */
export async function ownDraft(inbound: Inbound, draftId: string, view: DeskView): Promise<KeptDraft | Effects> {
  const draft = await view.draft(draftId)
  if (!draft) return refuse(inbound, 'This preview is not known here. Send the case again for a new one')
  if (draft.by !== inbound.by.id)
    return refuse(inbound, 'This preview belongs to the colleague who typed the case; only they can use it')
  if (!('text' in draft)) return draft
  if (!isSpokenOfAt(inbound.place, draft.place, draft.asking))
    return refuse(inbound, 'This preview belongs to another channel. Use it there, or send the case again here')
  return draft
}

export const sameChannel = (one: Place, other: Place): boolean =>
  one.platform === other.platform && one.workspace === other.workspace && one.channel === other.channel

/**
 * Whether a preview is spoken of from this place: where its case was written; where it was shown, when it is for another
 * channel; and in the person's own chat with the bot on Teams, where all that only one person may see is shown.
 */
export const isSpokenOfAt = (place: Place, draft: Place, asking: DraftAsking | undefined): boolean =>
  place.platform === draft.platform &&
  place.workspace === draft.workspace &&
  (asking?.elsewhere === true || place.channel === draft.channel || (place.platform === 'teams' && isPersonal(place)))

// A consult has a thread of its own, so its card stands in the channel also when the case was typed in some thread.
const withoutThread = ({ platform, workspace, channel }: Place): Place => ({ platform, workspace, channel })

function withText(inbound: Inbound, draft: OpenDraft, sentence: string): Effects {
  const card: Card = {
    ...noteCard(sentence),
    first: [
      { kind: 'line', text: sentence, weight: 'strong' },
      { kind: 'line', text: draft.text, weight: 'plain' },
    ],
  }
  return only(inbound, card)
}

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
