import type { Decided } from '../consult/decided.js'
import type { ConsultEvent } from '../consult/events.js'
import type { Opinion } from '../consult/opinion.js'

type Change = (text: string) => string

/**
 * Applies `change` to every place where a person's own words, or words made from them, stand in an event, always in the
 * same order. Names of colleagues, days, numbers and words from fixed lists are no free texts.
 */
export function mapFreeTexts(event: ConsultEvent, change: Change): ConsultEvent {
  switch (event.type) {
    case 'consult-asked':
      return { ...event, ...whenSaid('question', event.question, change), words: change(event.words) }
    case 'opinion-given':
      return { ...event, opinion: inOpinion(event.opinion, change) }
    case 'consult-revised':
      return {
        ...event,
        ...whenSaid('question', event.question, change),
        words: change(event.words),
        changed: event.changed.map(change),
      }
    case 'comment-made':
    case 'comment-edited':
      return { ...event, text: change(event.text) }
    case 'picture-shown':
      return { ...event, said: change(event.said) }
    case 'task-opened':
      return { ...event, what: change(event.what) }
    case 'task-done':
      return { ...event, ...whenSaid('result', event.result, change) }
    case 'consult-decided':
      return { ...event, decision: inDecision(event.decision, change) }
    case 'outcome-recorded': {
      const { outcome } = event
      const { lens } = outcome
      return {
        ...event,
        outcome: {
          ...outcome,
          ...(lens === undefined ? {} : { lens: inLens(lens, change) }),
          ...whenSaid('acuity', outcome.acuity, change),
          ...whenSaid('note', outcome.note, change),
        },
      }
    }
    case 'consult-closed':
    case 'consult-reopened':
    case 'consult-withdrawn':
      return { ...event, ...whenSaid('because', event.because, change) }
    case 'consult-recalled':
      return { ...event, wrong: change(event.wrong), here: change(event.here) }
    case 'opinions-revealed':
    case 'comment-deleted':
    case 'consult-reassigned':
    case 'deputy-asked':
    case 'reminder-sent':
    case 'reminders-paused':
      return event
    default:
      return unreachable(event)
  }
}

const whenSaid = <Key extends string>(key: Key, text: string | undefined, change: Change) =>
  (text === undefined ? {} : { [key]: change(text) }) as { [K in Key]?: string }

const inOpinion = (opinion: Opinion, change: Change): Opinion => ({
  ...opinion,
  ...whenSaid('sentence', opinion.sentence, change),
  ...whenSaid('wouldChangeMind', opinion.wouldChangeMind, change),
})

type Lens = NonNullable<Decided['lens']>

// A model is typed by hand, so anything may stand there.
const inLens = (lens: { powerD: number; label?: string | undefined }, change: Change): Lens => ({
  powerD: lens.powerD,
  ...whenSaid('label', lens.label, change),
})

const inDecision = (decision: Decided, change: Change): Decided => ({
  ...decision,
  planA: change(decision.planA),
  ...whenSaid('planB', decision.planB, change),
  ...whenSaid('trigger', decision.trigger, change),
  operates: change(decision.operates),
  ...(decision.lens === undefined ? {} : { lens: inLens(decision.lens, change) }),
  ...whenSaid('lensBecause', decision.lensBecause, change),
  departs: decision.departs.map(({ from, because }) => ({ from, because: change(because) })),
  overrides: decision.overrides.map(({ precaution, because }) => ({ precaution, because: change(because) })),
})

function unreachable(event: never): never {
  throw new Error(`Unknown event ${JSON.stringify(event)}`)
}
