import type {
  ColleagueOpinion,
  Comment,
  ConsultTask,
  GivenOpinion,
  MadeDecision,
  PausedReminders,
  Recalled,
  RecordedOutcome,
  Revision,
  SentReminder,
  ShownPicture,
  Turn,
} from './consult-parts.js'
import type { Asking, ConsultAsked, ConsultEvent } from './events.js'
import type { Person, Place } from './people.js'

export type { ColleagueOpinion, Comment, ConsultTask } from './consult-parts.js'

export const CONSULT_STATUSES = ['asked', 'decided', 'operated', 'closed', 'withdrawn'] as const
export type ConsultStatus = (typeof CONSULT_STATUSES)[number]

/** A consult that was put to the team, whatever has become of it. */
export interface AskedConsult {
  readonly status: ConsultStatus
  readonly ref: string
  /** Whose consult it is now. */
  readonly askedBy: Person
  /** Those whose consult it was before it was given on, oldest first. */
  readonly askedBefore: readonly Person[]
  readonly askedAt: string
  readonly place: Place
  readonly asking: Asking
  readonly question?: string
  /** The present revision of the case, from 1. */
  readonly revision: number
  readonly planHash: string
  /** All of them, the first included. */
  readonly revisions: readonly Revision[]
  /** One a person, in the order of the first answer. */
  readonly opinions: readonly ColleagueOpinion[]
  /** The asker has lifted what hid the opinions. */
  readonly revealed: boolean
  readonly comments: readonly Comment[]
  readonly pictures: readonly ShownPicture[]
  readonly tasks: readonly ConsultTask[]
  /** Oldest first; the last one stands. */
  readonly decisions: readonly MadeDecision[]
  readonly outcomes: readonly RecordedOutcome[]
  readonly turns: readonly Turn[]
  readonly deputyAsked?: { readonly deputy: string; readonly at: string }
  readonly reminders: readonly SentReminder[]
  readonly paused: readonly PausedReminders[]
  /** Oldest first. */
  readonly recalls: readonly Recalled[]
}

export type Consult = { readonly status: 'not-asked' } | AskedConsult

export const NOT_ASKED: Consult = { status: 'not-asked' }

/** Whether it still waits for something: neither closed nor withdrawn. */
export const isOpen = ({ status }: AskedConsult): boolean => status !== 'closed' && status !== 'withdrawn'

/** Whether the opinions are kept back for now, so that nobody is led by those who answered before. */
export function opinionsHidden({
  asking,
  revealed,
  opinions,
  status,
}: Pick<AskedConsult, 'asking' | 'revealed' | 'opinions' | 'status'>): boolean {
  const { hideUntil } = asking
  if (hideUntil === undefined || revealed || status !== 'asked') return false
  return hideUntil === 'asker-lifts' || opinions.length < hideUntil
}

export const openTasks = ({ tasks }: AskedConsult): readonly ConsultTask[] => tasks.filter(({ done }) => done === undefined)

/** The newest decision, on whichever revision it was made. */
export const decisionOf = ({ decisions }: AskedConsult): MadeDecision | undefined => decisions.at(-1)

/** Folds one event into the consult. Never refuses: what is in the trail has happened. */
export function evolve(consult: Consult, event: ConsultEvent): Consult {
  if (event.type === 'consult-asked') return asked(event)
  if (consult.status === 'not-asked')
    throw new Error(`The trail is broken: ${event.type} on ${event.ref} stands before the consult was asked`)
  const { by, at } = event
  switch (event.type) {
    case 'opinion-given': {
      const given = { at, revision: event.revision, opinion: event.opinion }
      return { ...consult, opinions: withOpinion(consult.opinions, by, given) }
    }
    case 'opinions-revealed':
      return { ...consult, revealed: true }
    case 'consult-revised': {
      const { revision, planHash, changed } = event
      const { question: _former, ...rest } = consult
      return {
        ...rest,
        // A decision was made on the case as it was; on a changed case the team is asked again.
        status: consult.status === 'decided' ? 'asked' : consult.status,
        revision,
        planHash,
        ...(event.question === undefined ? {} : { question: event.question }),
        revisions: [...consult.revisions, { revision, planHash, by, at, changed }],
      }
    }
    case 'comment-made': {
      const message = event.message === undefined ? {} : { message: event.message }
      return { ...consult, comments: [...consult.comments, { by, at, text: event.text, ...message, earlier: [] }] }
    }
    case 'comment-edited':
      return withComment(consult, event.message, (comment) => ({
        ...comment,
        text: event.text,
        earlier: [...comment.earlier, comment.text],
      }))
    case 'comment-deleted':
      return withComment(consult, event.message, (comment) => ({ ...comment, deletedAt: at }))
    case 'picture-shown':
      return { ...consult, pictures: [...consult.pictures, { by, at, said: event.said }] }
    case 'task-opened': {
      const { type: _type, ref: _ref, by: openedBy, at: _at, ...task } = event
      return { ...consult, tasks: [...consult.tasks, { ...task, openedBy }] }
    }
    case 'task-done': {
      const done = { by, at, ...(event.result === undefined ? {} : { result: event.result }) }
      return { ...consult, tasks: consult.tasks.map((task) => (task.task === event.task ? { ...task, done } : task)) }
    }
    case 'consult-decided': {
      const { revision, decision } = event
      return { ...consult, status: 'decided', decisions: [...consult.decisions, { by, at, revision, decision }] }
    }
    case 'outcome-recorded': {
      const { outcome } = event
      // A near miss tells of what almost happened, whether or not an operation followed.
      const operated = outcome.stage !== 'near-miss' && isOpen(consult)
      return { ...consult, status: operated ? 'operated' : consult.status, outcomes: [...consult.outcomes, { by, at, outcome }] }
    }
    case 'consult-closed':
      return { ...consult, status: 'closed', turns: [...consult.turns, turnOf('closed', event)] }
    case 'consult-reopened':
      return { ...consult, status: 'asked', turns: [...consult.turns, turnOf('reopened', event)] }
    case 'consult-withdrawn':
      return { ...consult, status: 'withdrawn', turns: [...consult.turns, turnOf('withdrawn', event)] }
    case 'consult-reassigned':
      return { ...consult, askedBy: event.to, askedBefore: [...consult.askedBefore, consult.askedBy] }
    case 'deputy-asked':
      return { ...consult, deputyAsked: { deputy: event.deputy, at } }
    case 'reminder-sent':
      return { ...consult, reminders: [...consult.reminders, { kind: event.kind, to: event.to, at }] }
    case 'reminders-paused': {
      const kinds = event.kinds === undefined ? {} : { kinds: event.kinds }
      const until = event.until === undefined ? {} : { until: event.until }
      return { ...consult, paused: [...consult.paused, { by: by.id, ...kinds, ...until }] }
    }
    case 'consult-recalled':
      return { ...consult, recalls: [...consult.recalls, { by, at, wrong: event.wrong, here: event.here }] }
    default:
      return unreachable(event)
  }
}

/** The consult that these events tell of, oldest first. */
export const fold = (events: readonly ConsultEvent[]): Consult => events.reduce(evolve, NOT_ASKED)

function asked(event: ConsultAsked): AskedConsult {
  const { type: _type, by, at, ref, place, planHash, question, words: _words, ...asking } = event
  return {
    status: 'asked',
    ref,
    askedBy: by,
    askedBefore: [],
    askedAt: at,
    place,
    asking,
    ...(question === undefined ? {} : { question }),
    revision: 1,
    planHash,
    revisions: [{ revision: 1, planHash, by, at, changed: [] }],
    opinions: [],
    revealed: false,
    comments: [],
    pictures: [],
    tasks: [],
    decisions: [],
    outcomes: [],
    turns: [],
    reminders: [],
    paused: [],
    recalls: [],
  }
}

function withOpinion(opinions: readonly ColleagueOpinion[], by: Person, given: GivenOpinion): readonly ColleagueOpinion[] {
  const place = opinions.findIndex((opinion) => opinion.by.id === by.id)
  const former = opinions[place]
  if (!former) return [...opinions, { ...given, by, earlier: [] }]
  const earlier = [...former.earlier, { at: former.at, revision: former.revision, opinion: former.opinion }]
  return opinions.with(place, { ...given, by, earlier })
}

const withComment = (consult: AskedConsult, message: string, change: (comment: Comment) => Comment): AskedConsult => ({
  ...consult,
  comments: consult.comments.map((comment) => (comment.message === message ? change(comment) : comment)),
})

const turnOf = (
  turn: Turn['turn'],
  { by, at, because }: { readonly by: Person; readonly at: string; readonly because?: string },
): Turn => ({ turn, by, at, ...(because === undefined ? {} : { because }) })

function unreachable(event: never): never {
  throw new Error(`Unknown event ${JSON.stringify(event)}`)
}
