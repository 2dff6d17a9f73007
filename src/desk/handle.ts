import { identifiersCard } from '../cards/short-cards.js'
import { opinion as opinionOf, typedAnswer } from '../consult/typed-answer.js'
import { addComment, giveOpinion, NO_SUCH_CONSULT } from './answer-consult.js'
import { type Command, commandIn, refAt } from './command.js'
import { cardOf, consultHere, consultOfThread, type StandingConsult } from './consult-here.js'
import type { DeskDeps } from './deps.js'
import { describePerson } from './describe-person.js'
import { findConsults } from './look-up.js'
import type { Inbound } from './ports.js'
import { postAgain } from './post-again.js'
import { cancelDraft, correctDraft, postDraft, previewCase } from './put-case.js'
import { only, refuse } from './replies.js'
import { type DeskView, type Effects, NO_EFFECTS } from './store.js'

type Text = Extract<Inbound, { kind: 'text' }>
type Choice = Extract<Inbound, { kind: 'choice' }>

/**
 * What one delivery brings about. Reads, decides, and changes nothing itself: the effects happen in one transaction,
 * and when the trail has moved on meanwhile this is asked again.
 */
export async function handle(inbound: Inbound, view: DeskView, deps: DeskDeps): Promise<Effects> {
  switch (inbound.kind) {
    case 'refused-identifiers': {
      const ours = inbound.addressed || (await view.consultInThread(inbound.place)) !== undefined
      return ours ? only(inbound, identifiersCard(inbound.found)) : NO_EFFECTS
    }
    case 'choice':
      return choose(inbound, view, deps)
    case 'text':
      return read(inbound, view, deps)
    case 'form':
    case 'edited':
    case 'deleted':
    case 'picture':
    case 'reminder':
      return NO_EFFECTS
    default:
      return unreachable(inbound)
  }
}

async function choose(inbound: Choice, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const { does } = inbound
  switch (does.action) {
    case 'post-draft':
      return postDraft(inbound, does.draftId, view, deps)
    case 'correct-draft':
      return correctDraft(inbound, does.draftId, view)
    case 'cancel-draft':
      return cancelDraft(inbound, does.draftId, view)
    case 'give-opinion': {
      const here = await consultHere(view, does.ref, deps.reach(inbound.place))
      if (!here) return refuse(inbound, NO_SUCH_CONSULT)
      const opinion = opinionOf(does.opinion, inbound.sentence ?? '')
      return giveOpinion(inbound, here, { opinion, revision: does.revision }, view, deps)
    }
    case 'open-form':
    case 'reveal':
    case 'stop-reminders':
    case 'task-done':
      return refuse(inbound, 'That button is not known here')
    default:
      return unreachable(does)
  }
}

async function read(inbound: Text, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const here = await consultOfThread(view, inbound.place)
  if (inbound.addressed) {
    const command = commandIn(inbound.text)
    // In a consult's thread there are no previews: "correct, it is flat" is talk there.
    if (command && !(here && actsOnDraft(command))) return obey(inbound, command, view, deps)
    const named = refAt(inbound.text)
    const about = named && (await aboutConsult(inbound, named.ref, named.rest, view, deps))
    if (about) return about
  }
  if (here) return talk(inbound, here, inbound.text.trim(), view, deps)
  return inbound.addressed ? previewCase(inbound, deps) : NO_EFFECTS
}

type DraftCommand = Extract<Command, { command: 'post' | 'cancel' | 'correct' }>

const actsOnDraft = (command: Command): command is DraftCommand =>
  command.command === 'post' || command.command === 'cancel' || command.command === 'correct'

/** `MARSH-7` shows the consult, `MARSH-7 agree but: …` answers it; undefined where it is no reference after all. */
async function aboutConsult(
  inbound: Text,
  ref: string,
  rest: string,
  view: DeskView,
  deps: DeskDeps,
): Promise<Effects | undefined> {
  const here = await consultHere(view, ref, deps.reach(inbound.place))
  if (!here) return rest === '' || typedAnswer(rest) ? refuse(inbound, NO_SUCH_CONSULT) : undefined
  if (rest === '') return only(inbound, await cardOf(view, here.consult))
  return talk(inbound, here, rest, view, deps)
}

/** An opinion where the words say one, else a comment. */
function talk(inbound: Text, here: StandingConsult, said: string, view: DeskView, deps: DeskDeps): Promise<Effects> {
  if (said === '') return Promise.resolve(NO_EFFECTS)
  const opinion = typedAnswer(said)
  // "agree, thanks" from the asker in their own thread is talk; only spoken to the bot is it a wish to be refused.
  const ownTalk = !inbound.addressed && inbound.by.id === here.consult.askedBy.id
  if (opinion && !ownTalk) return giveOpinion(inbound, here, { opinion, revision: here.consult.revision }, view, deps)
  return addComment(inbound, here, said, view, deps)
}

async function obey(inbound: Text, command: Command, view: DeskView, deps: DeskDeps): Promise<Effects> {
  switch (command.command) {
    case 'find':
      return findConsults(inbound, command.words, view, deps)
    case 'me':
      return describePerson(inbound, command.described, view)
    case 'post-again':
      return postAgain(inbound, command.ref, view, deps)
    case 'post':
    case 'cancel':
    case 'correct':
      return obeyOnDraft(inbound, command, view, deps)
    default:
      return unreachable(command)
  }
}

/** The typed forms of the preview's buttons: they mean the newest preview of this person here. */
async function obeyOnDraft(inbound: Text, command: DraftCommand, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const draftId = await view.newestDraft(inbound.by.id, inbound.place)
  if (command.command === 'correct' && command.text !== '') {
    const anew = await previewCase({ ...inbound, text: command.text }, deps)
    const setAside = draftId === undefined || anew.drafts.length === 0 ? [] : [{ change: 'corrected', id: draftId } as const]
    return { ...anew, drafts: [...setAside, ...anew.drafts] }
  }
  if (draftId === undefined) return refuse(inbound, 'There is no preview of yours here. Send the case first')
  if (command.command === 'post') return postDraft(inbound, draftId, view, deps)
  return command.command === 'cancel' ? cancelDraft(inbound, draftId, view) : correctDraft(inbound, draftId, view)
}

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
