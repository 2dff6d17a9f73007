import type { Decided } from '../consult/decided.js'
import type { CommentEdited, CommentMade, ConsultEvent } from '../consult/events.js'
import { OPINION_WORDS } from '../consult/opinion.js'
import { outcomeInWords } from '../consult/outcome.js'
import { lensPower } from '../terms/power.js'

const isComment = (event: ConsultEvent): event is CommentMade | CommentEdited =>
  event.type === 'comment-made' || event.type === 'comment-edited'

/** The events without what a comment no longer says: whoever took it back, or said it otherwise, is not found by it. */
export function asSaidNow(events: readonly ConsultEvent[]): readonly ConsultEvent[] {
  const standing = new Map<string, ConsultEvent>()
  for (const event of events) {
    if (event.type === 'comment-deleted') standing.set(event.message, event)
    else if (isComment(event) && event.message !== undefined) standing.set(event.message, event)
  }
  return events.filter((event) => !isComment(event) || event.message === undefined || standing.get(event.message) === event)
}

/** The words by which a search finds a consult through what happened after it was asked: who, what they said, what came of it. */
export function eventWords(event: ConsultEvent): string {
  const { name, grade, field } = event.by
  const who = [name, grade, field].filter((part) => part !== undefined).join(' ')
  const said = saidIn(event)
  return said === '' ? '' : `${who} ${said}`
}

function saidIn(event: ConsultEvent): string {
  switch (event.type) {
    // The asking is indexed by itself; what our own clock does is nobody's talk.
    case 'consult-asked':
    case 'reminder-sent':
    case 'reminders-paused':
    case 'opinions-revealed':
    case 'comment-deleted':
      return ''
    case 'opinion-given': {
      const { kind, steps, sentence, wouldChangeMind } = event.opinion
      return [OPINION_WORDS[kind], ...steps, sentence ?? '', wouldChangeMind ?? ''].join(' ')
    }
    case 'consult-revised':
      return ['revised', ...event.changed, event.question ?? '', event.words].join(' ')
    case 'comment-made':
    case 'comment-edited':
      return event.text
    case 'picture-shown':
      return `picture ${event.said}`
    case 'task-opened':
      return ['task', event.what, event.owner ?? ''].join(' ')
    case 'task-done':
      return `task done ${event.result ?? ''}`
    case 'consult-decided':
      return decisionWords(event.decision)
    case 'outcome-recorded':
      return `outcome ${outcomeInWords(event.outcome)}`
    case 'consult-closed':
      return `closed ${event.because ?? ''}`
    case 'consult-reopened':
      return `reopened ${event.because}`
    case 'consult-withdrawn':
      return `withdrawn ${event.because}`
    case 'consult-reassigned':
      return `reassigned to ${event.to.name}`
    case 'consult-recalled':
      return `recalled ${event.wrong} ${event.here}`
    case 'deputy-asked':
      return `deputy ${event.deputy}`
    default:
      return unreachable(event)
  }
}

const decisionWords = ({ planA, planB, trigger, operates, lens, follows, departs, overrides }: Decided): string =>
  [
    'decided',
    planA,
    planB ?? '',
    trigger ?? '',
    operates,
    lens === undefined ? '' : `lens ${lensPower(lens.powerD)} ${lens.label ?? ''}`,
    ...follows,
    ...departs.flatMap(({ from, because }) => [from, because]),
    ...overrides.map(({ because }) => `override ${because}`),
  ].join(' ')

function unreachable(event: never): never {
  throw new Error(`Unknown event ${JSON.stringify(event)}`)
}
