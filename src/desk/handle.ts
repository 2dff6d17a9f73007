import type { FormId } from '../cards/form.js'
import { identifiersCard } from '../cards/short-cards.js'
import { isNameless } from '../consult/people.js'
import { opinion as opinionOf, typedAnswer } from '../consult/typed-answer.js'
import { accessBy } from './access-log.js'
import { actOnConsult, isLead, recordNearMiss, reveal, stopReminders } from './act-on-consult.js'
import { addComment, giveOpinion, NO_SUCH_CONSULT } from './answer-consult.js'
import { type Command, commandIn, refAt } from './command.js'
import { cardOf, consultFor, consultOfThread, type StandingConsult } from './consult-here.js'
import type { DeskDeps } from './deps.js'
import { describePerson } from './describe-person.js'
import { homeFor } from './home.js'
import { findConsults } from './look-up.js'
import { nearCommand } from './near-command.js'
import { obeyOnDraft } from './on-draft.js'
import { keepSetting } from './person-settings.js'
import type { Inbound } from './ports.js'
import { postAgain } from './post-again.js'
import { cancelDraft, correctDraft, postDraft, previewCase } from './put-case.js'
import { remind } from './remind.js'
import { only, refuse } from './replies.js'
import { type DeskView, type Effects, NO_EFFECTS } from './store.js'
import { takeForm } from './take-form.js'
import { finishTask } from './tasks.js'
import { noteThreadChange, withPicture } from './thread-changes.js'
import { type ThreadCommand, threadCommand } from './thread-command.js'

type Text = Extract<Inbound, { kind: 'text' }>
type Choice = Extract<Inbound, { kind: 'choice' }>

/**
 * What one delivery brings about. Reads, decides, and changes nothing itself: the effects happen in one transaction,
 * and when the trail has moved on meanwhile this is asked again.
 */
export async function handle(inbound: Inbound, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const effects = await effectsOf(inbound, view, deps)
  return effects === NO_EFFECTS ? effects : { ...effects, heardOf: heardOf(inbound) }
}

async function effectsOf(inbound: Inbound, view: DeskView, deps: DeskDeps): Promise<Effects> {
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
      return takeForm(inbound, view, deps)
    case 'edited':
    case 'deleted':
    case 'picture':
      return noteThreadChange(inbound, view, deps)
    case 'reminder':
      return remind(inbound, view, deps)
    default:
      return unreachable(inbound)
  }
}

/** Who speaks, and whom the chat marks, so that their names mean them from now on. A name that says nothing is none. */
function heardOf(inbound: Inbound): Effects['heardOf'] {
  const { by } = inbound
  const spoke = inbound.kind === 'reminder' || isNameless(by) ? [] : [{ id: by.id, name: by.name }]
  const marked = 'mentioned' in inbound ? (inbound.mentioned ?? []) : []
  return [
    ...marked.flatMap(({ kind, id, said, members = [] }) => (kind === 'channel' ? [] : [{ id, name: said }, ...members])),
    ...spoke,
  ].filter((one) => !isNameless(one))
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
      const here = await consultFor(inbound, does.ref, view, deps)
      if (!here) return refuse(inbound, NO_SUCH_CONSULT)
      const opinion = opinionOf(does.opinion, inbound.sentence ?? '')
      return giveOpinion(inbound, here, { opinion, revision: does.revision }, view, deps)
    }
    case 'open-form':
      // The adapter opens the form at once; where it could not, the person is told how to type it.
      return refuse(inbound, `That form could not be opened here. ${TYPED_INSTEAD[does.form]}`)
    case 'reveal':
    case 'stop-reminders':
    case 'near-miss': {
      const here = await consultFor(inbound, does.ref, view, deps)
      if (!here) return refuse(inbound, NO_SUCH_CONSULT)
      if (does.action === 'near-miss') return recordNearMiss(inbound, here, inbound.sentence, view, deps)
      return does.action === 'reveal' ? reveal(inbound, here, view, deps) : stopReminders(inbound, here, view, deps)
    }
    case 'task-done': {
      const here = await consultFor(inbound, does.ref, view, deps)
      if (!here) return refuse(inbound, NO_SUCH_CONSULT)
      return finishTask(inbound, here, { task: does.task, result: inbound.sentence?.trim() ?? '' }, view, deps)
    }
    default:
      return unreachable(does)
  }
}

/** What can be typed where a form cannot be shown. */
const TYPED_INSTEAD: Readonly<Record<FormId, string>> = {
  ask: 'Send the case as a message, look at the preview, then write: post ask NAMES; today; hide until 3',
  opinion: 'Write in the thread: agree, agree but: …, need: …, not alone: … or stop: …',
  change: 'Write in the thread: change: AL 29.70',
  decide: 'Write in the thread: decide: A …; B …; if …; operates …; lens +9.0',
  outcome: 'Write in the thread: outcome: operation; lens +9.0; complications none',
  task: 'Write in the thread: task: second biometry @Alder by Friday',
}

async function read(inbound: Text, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const here = await consultOfThread(view, inbound.place)
  if (inbound.addressed) {
    const command = commandIn(inbound.text)
    // In a consult's thread there are no previews: "correct, it is flat" is talk there; and "reminders off" means this consult.
    if (command && !(here && meansTheThread(command))) return obey(inbound, command, view, deps)
    const named = refAt(inbound.text)
    const about = named && (await aboutConsult(inbound, named.ref, named.rest, view, deps))
    if (about) return about
  }
  if (here) return talk(inbound, here, inbound.text.trim(), view, deps)
  return inbound.addressed ? previewCase(inbound, inbound, deps) : NO_EFFECTS
}

const meansTheThread = (command: Command): boolean =>
  command.command === 'post' ||
  command.command === 'cancel' ||
  command.command === 'correct' ||
  command.command === 'change' ||
  (command.command === 'set' && command.setting.set === 'reminders')

/** `MARSH-7` shows the consult, `MARSH-7 agree but: …` answers it; undefined where it is no reference after all. */
async function aboutConsult(
  inbound: Text,
  ref: string,
  rest: string,
  view: DeskView,
  deps: DeskDeps,
): Promise<Effects | undefined> {
  const here = await consultFor(inbound, ref, view, deps)
  const meant = rest === '' || typedAnswer(rest) !== undefined || threadCommand(rest, deps.today()) !== undefined
  if (!here) return meant ? refuse(inbound, NO_SUCH_CONSULT) : undefined
  if (rest === '') {
    const viewed = accessBy(inbound.by, deps.clock.now(), { what: 'viewed', ref })
    return { ...only(inbound, await cardOf(view, here.consult)), accesses: [viewed] }
  }
  return talk(inbound, here, rest, view, deps)
}

/** A command or an opinion where the words say one, else a comment. A picture shown with them is noted beside. */
async function talk(inbound: Text, here: StandingConsult, said: string, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const effects = said === '' ? NO_EFFECTS : await talkOf(inbound, here, said, view, deps)
  return inbound.hasPicture ? withPicture(inbound, here, said, effects, view, deps) : effects
}

async function talkOf(inbound: Text, here: StandingConsult, said: string, view: DeskView, deps: DeskDeps): Promise<Effects> {
  const { consult } = here
  const mine = inbound.by.id === consult.askedBy.id
  const command = threadCommand(said, deps.today())
  // What only the asker may do is talk when a colleague was merely overheard saying it.
  if (command && (inbound.addressed || mine || isLead(inbound.by, deps) || OPEN_TO_ALL.has(command.does)))
    return actOnConsult(inbound, here, command, view, deps)
  const opinion = typedAnswer(said)
  // "agree, thanks" from the asker in their own thread is talk; only spoken to the bot is it a wish to be refused.
  const ownTalk = !inbound.addressed && mine
  // After the operation, or on a consult that has ended, an opinion is no longer counted, but its words are kept.
  const counted = consult.status === 'asked' || consult.status === 'decided'
  if (opinion && !ownTalk && counted) return giveOpinion(inbound, here, { opinion, revision: consult.revision }, view, deps)
  return addComment(inbound, here, said, view, deps, nearCommand(said))
}

const OPEN_TO_ALL: ReadonlySet<ThreadCommand['does']> = new Set([
  'task',
  'done',
  'reminders',
  'record',
  'theatre',
  'consent',
  'working',
  'sources',
])

async function obey(inbound: Text, command: Command, view: DeskView, deps: DeskDeps): Promise<Effects> {
  switch (command.command) {
    case 'find':
      return findConsults(inbound, command.words, view, deps)
    case 'me':
      return describePerson(inbound, command.described, view)
    case 'home':
      return only(inbound, await homeFor(inbound, view, deps))
    case 'set':
      return keepSetting(inbound, command.setting, view)
    case 'post-again':
      return postAgain(inbound, command.ref, view, deps)
    case 'post':
    case 'cancel':
    case 'correct':
    case 'change':
      return obeyOnDraft(inbound, command, view, deps)
    default:
      return unreachable(command)
  }
}

function unreachable(value: never): never {
  throw new Error(`Unknown ${JSON.stringify(value)}`)
}
