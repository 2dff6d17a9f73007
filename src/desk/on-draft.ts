import { type ReadDay, typedAsking } from '../consult/asking.js'
import type { Asking } from '../consult/events.js'
import type { Place } from '../consult/people.js'
import { writeCase } from '../intake/case-text.js'
import { changedCase } from './changed-case.js'
import type { Command } from './command.js'
import { dayNamed, dayProblem } from './days.js'
import type { DeskDeps } from './deps.js'
import type { Inbound } from './ports.js'
import { cancelDraft, correctDraft, ownDraft, postDraft, previewCase } from './put-case.js'
import { refuse } from './replies.js'
import type { DeskView, Effects } from './store.js'
import { whoIsMeant } from './whom.js'

type Text = Extract<Inbound, { kind: 'text' }>
export type DraftCommand = Extract<Command, { command: 'post' | 'cancel' | 'correct' | 'change' }>

const NO_PREVIEW = 'There is no preview of yours here. Send the case first, look at how it was read, and then write: post'

/** The typed forms of the preview's buttons and of its form: they mean the newest preview of this person here. */
export async function obeyOnDraft(inbound: Text, command: DraftCommand, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const draftId = await view.newestDraft(inbound.by.id, inbound.place)
  if (command.command === 'correct' && command.text !== '') {
    const former = draftId === undefined ? undefined : await view.draft(draftId)
    const as = former === undefined || !('text' in former) ? {} : { place: former.place, ...askedWith(former.asking) }
    const anew = await previewCase(inbound, { ...inbound, ...as, text: command.text }, deps)
    return { ...anew, drafts: [...setAside(draftId, anew), ...anew.drafts] }
  }
  if (draftId === undefined) return refuse(inbound, NO_PREVIEW)
  switch (command.command) {
    case 'post':
      return postTyped(inbound, draftId, command.asking, view, deps)
    case 'change':
      return changeDraft(inbound, draftId, command.item, view, deps)
    case 'cancel':
      return cancelDraft(inbound, draftId, view)
    case 'correct':
      return correctDraft(inbound, draftId, view)
    default:
      return unreachable(command)
  }
}

const askedWith = <Asked>(asking: Asked | undefined) => (asking === undefined ? {} : { asking })

const setAside = (draftId: string | undefined, anew: Effects) =>
  draftId === undefined || anew.drafts.length === 0 ? [] : [{ change: 'corrected', id: draftId } as const]

async function postTyped(inbound: Text, draftId: string, said: string, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const read = typedAsking(said, surgeryDay(deps.today()))
  if ('problems' in read) return refuse(inbound, notPosted(read.problems))
  const place = read.channel === undefined ? undefined : channelMarked(inbound, read.channel)
  if (place !== undefined && 'problem' in place) return refuse(inbound, notPosted([place.problem]))
  const asking = await askingMeant(read.asking, inbound, view, deps)
  if ('problems' in asking) return refuse(inbound, notPosted(asking.problems))
  return postDraft(inbound, draftId, view, deps, { asking: asking.asking, ...(place === undefined ? {} : { place }) })
}

const notPosted = (problems: readonly string[]): string => `Nothing was posted. ${problems.join('. ')}`

/** A day of surgery as people say it, from today on. */
const surgeryDay =
  (today: string): ReadDay =>
  (said) => {
    const problem = dayProblem(said, today, 'surgery')
    return problem === undefined ? { day: dayNamed(said, today) ?? '' } : { problem }
  }

/** The asking with the people whom its names stand for, or what is wrong with the names. */
export async function askingMeant(
  asking: Asking,
  naming: Pick<Inbound, 'by' | 'place'> & Pick<Text, 'mentioned'>,
  view: DeskView,
  deps: DeskDeps,
): Promise<{ readonly asking: Asking } | { readonly problems: readonly string[] }> {
  const asked = await whoIsMeant(asking.asked ?? [], naming, view, deps)
  const deputy = await whoIsMeant(asking.deputy === undefined ? [] : [asking.deputy], naming, view, deps)
  const own = [...asked.people, ...deputy.people].some(({ id }) => id === naming.by.id)
  const problems = [
    ...asked.problems,
    ...deputy.problems,
    ...(own ? ['You ask yourself: name somebody else, or leave it out to ask the whole channel'] : []),
  ]
  if (problems.length > 0) return { problems }
  const reached = [...asked.reached, ...deputy.reached]
  const [standsIn] = deputy.names
  return {
    asking: {
      ...asking,
      ...(asked.names.length === 0 ? {} : { asked: asked.names }),
      ...(standsIn === undefined ? {} : { deputy: standsIn }),
      ...(reached.length === 0 ? {} : { reached }),
    },
  }
}

function channelMarked({ mentioned = [], place }: Text, channel: string): Place | { readonly problem: string } {
  const marked = mentioned.find(({ kind, said }) => kind === 'channel' && said.toLowerCase() === channel.toLowerCase())
  if (marked) return { platform: place.platform, workspace: place.workspace, channel: marked.id }
  return {
    problem:
      place.platform === 'slack'
        ? `“#${channel}” is not marked as a channel. Pick it from the list that opens after “#”, or leave it out to post where the case was written`
        : 'Here a case is posted where it was written. Write it in the channel that it is for, and leave the channel out',
  }
}

/** One item of a previewed case said anew: a preview of the whole takes its place. */
async function changeDraft(inbound: Text, draftId: string, item: string, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const draft = await ownDraft(inbound, draftId, view)
  if ('outbound' in draft) return draft
  if (draft.state !== 'open') return refuse(inbound, NO_PREVIEW)
  // What could not be read of it would be gone without a word if only what was read went on.
  if (draft.blockedBy.length > 0)
    return refuse(
      inbound,
      `Nothing was changed: a part of this case could not be read. ${draft.blockedBy.join(' ')} Write the whole case again: correct: …`,
    )
  const changed = changedCase(draft.case, item, deps)
  if ('refused' in changed) return refuse(inbound, changed.refused)
  const blocking = changed.problems.filter(({ blocks }) => blocks)
  if (blocking.length > 0) {
    const sentences = blocking.map(({ message, instead }) => `${message} Write instead: ${instead}`)
    return refuse(inbound, `Nothing was changed. ${sentences.join(' ')}`)
  }
  const { place, asking } = draft
  const text = writeCase(changed.case)
  const anew = await previewCase(inbound, { text, hasPicture: false, place, ...askedWith(asking) }, deps)
  return { ...anew, drafts: [...setAside(draftId, anew), ...anew.drafts] }
}

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
