import type { ConsultEvent } from './events.js'
import type { Opinion } from './opinion.js'
import type { Person, Place } from './people.js'

/** One opinion as it was given: on which revision of the case, and when. */
export interface GivenOpinion {
  readonly at: string
  /** The revision of the case that was answered, from 1. */
  readonly revision: number
  readonly opinion: Opinion
}

/** What one colleague thinks now, and what they said before. */
export interface ColleagueOpinion extends GivenOpinion {
  /** As they described themselves when they gave it. */
  readonly by: Person
  /** Oldest first. */
  readonly earlier: readonly GivenOpinion[]
}

export interface Comment {
  readonly by: Person
  readonly at: string
  readonly text: string
}

export interface AskedConsult {
  readonly status: 'asked'
  readonly ref: string
  readonly askedBy: Person
  readonly askedAt: string
  readonly place: Place
  readonly question?: string
  /** The present revision of the case, from 1. */
  readonly revision: number
  readonly planHash: string
  /** One a person, in the order of the first answer. */
  readonly opinions: readonly ColleagueOpinion[]
  readonly comments: readonly Comment[]
}

export type Consult = { readonly status: 'not-asked' } | AskedConsult

export const NOT_ASKED: Consult = { status: 'not-asked' }

/** Folds one event into the consult. Never refuses: what is in the trail has happened. */
export function evolve(consult: Consult, event: ConsultEvent): Consult {
  switch (event.type) {
    case 'consult-asked':
      return {
        status: 'asked',
        ref: event.ref,
        askedBy: event.by,
        askedAt: event.at,
        place: event.place,
        ...(event.question === undefined ? {} : { question: event.question }),
        revision: 1,
        planHash: event.planHash,
        opinions: [],
        comments: [],
      }
    case 'opinion-given': {
      const asked = askedBefore(consult, event)
      const given = { at: event.at, revision: event.revision, opinion: event.opinion }
      return { ...asked, opinions: withOpinion(asked.opinions, event.by, given) }
    }
    case 'comment-made': {
      const asked = askedBefore(consult, event)
      return { ...asked, comments: [...asked.comments, { by: event.by, at: event.at, text: event.text }] }
    }
    default:
      return unreachable(event)
  }
}

/** The consult that these events tell of, oldest first. */
export const fold = (events: readonly ConsultEvent[]): Consult => events.reduce(evolve, NOT_ASKED)

function withOpinion(opinions: readonly ColleagueOpinion[], by: Person, given: GivenOpinion): readonly ColleagueOpinion[] {
  const place = opinions.findIndex((opinion) => opinion.by.id === by.id)
  const former = opinions[place]
  if (!former) return [...opinions, { ...given, by, earlier: [] }]
  const earlier = [...former.earlier, { at: former.at, revision: former.revision, opinion: former.opinion }]
  return opinions.with(place, { ...given, by, earlier })
}

function askedBefore(consult: Consult, event: ConsultEvent): AskedConsult {
  if (consult.status === 'asked') return consult
  throw new Error(`The trail is broken: ${event.type} on ${event.ref} stands before the consult was asked`)
}

function unreachable(event: never): never {
  throw new Error(`Unknown event ${JSON.stringify(event)}`)
}
