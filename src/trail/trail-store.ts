import type { ConsultEvent } from '../consult/events.js'
import type { Person, Place } from '../consult/people.js'
import type { Plan } from '../plan/plan.js'
import type { Link } from './chain.js'
import type { Query } from './find.js'
import type { RecordAct } from './record-acts.js'
import type { KeptText } from './verify.js'

/** One consult that a search found, best match first. */
export interface Found {
  readonly ref: string
  readonly askedAt: string
  readonly askedBy: Person
  readonly place: Place
  readonly planHash: string
  /** How many colleagues have answered. */
  readonly opinions: number
}

/** Whose consults may be found: those of one workspace, or all of them for whoever holds the database itself. */
export type Scope = Pick<Place, 'platform' | 'workspace'> | 'everything'

/** The code of the fault that says that a plan is not the one that was written. */
export const PLAN_ALTERED = 'STORE.PLAN-ALTERED'

/** Whether a fault says that, and not merely that the database did not answer. */
export const isAltered = (fault: unknown): boolean => (fault as { readonly code?: unknown } | null)?.code === PLAN_ALTERED

/** What a trail is read through. Nothing here can change it. */
export interface TrailReading {
  /** Everything that happened to one consult, oldest first; empty where there is none. */
  events(ref: string): Promise<readonly ConsultEvent[]>
  /** A plan as it was computed; its content is checked against its hash, and thrown as `PLAN_ALTERED` when it is another. */
  plan(hash: string): Promise<Plan | undefined>
  /** Best match first. `skip`: without so many of the best. */
  find(query: Query, scope: Scope, limit: number, skip?: number): Promise<readonly Found[]>
  /** The consults asked last, newest first. */
  newest(scope: Scope, limit: number): Promise<readonly Found[]>
  /** The whole trail in order, as it lies on disk. */
  links(): AsyncIterable<Link>
  keptText(commitment: string): Promise<KeptText>
  /** Whether a plan was kept under this hash and was erased on purpose. */
  planErased(hash: string): Promise<boolean>
  /** What was done to the records themselves, oldest first. */
  recordActs(): AsyncIterable<RecordAct>
}
