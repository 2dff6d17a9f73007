import type { Case } from '../case/case.js'
import type { AnswerHours } from '../consult/asking.js'
import type { Place } from '../consult/people.js'
import type { Understood } from '../intake/understand.js'
import type { Plan } from '../plan/plan.js'
import type { Scope } from '../trail/trail-store.js'
import type { Group } from './groups.js'
import type { Clock, Names } from './ports.js'
import type { Rooms } from './rooms.js'

/** What the desk needs besides what it reads from the store. */
export interface DeskDeps {
  readonly understand: (
    text: string,
    around: { readonly today: string; readonly lensLabels: readonly string[]; readonly hasPicture: boolean },
  ) => Understood
  /** `simulated: false` leaves out the simulated operations, where nothing that is shown stands on them. */
  readonly makePlan: (given: Case, how?: { readonly simulated: boolean }) => Promise<Plan>
  /** Labels of the department's lens list. */
  readonly lensLabels: readonly string[]
  readonly clock: Clock
  readonly names: Names
  /** The department's own day, ISO date. */
  readonly today: () => string
  /** Whose consults somebody at this place may find, see and answer. */
  readonly reach: (place: Place) => Scope
  /** Who reads along where, by the chats themselves; absent: nothing is known of rooms but what their ids say. */
  readonly rooms?: Rooms
  /** By when an answer is hoped for; absent: as is common. */
  readonly answerWithinHours?: AnswerHours
  /** Ids of the department's leads, who may close a consult or give it to somebody else. */
  readonly leads?: ReadonlySet<string>
  /** Groups of the department that can be asked by name. */
  readonly groups?: readonly Group[]
}

/** Each workspace for itself. */
export const ownWorkspace = ({ platform, workspace }: Place): Scope => ({ platform, workspace })

export const within = (scope: Scope, place: Place): boolean =>
  scope === 'everything' || (scope.platform === place.platform && scope.workspace === place.workspace)
