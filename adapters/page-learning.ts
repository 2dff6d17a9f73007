import type { Platform } from '../src/consult/people.js'
import type { ImportedOperation } from '../src/learning/operations-file.js'
import type { Scope, TrailReading } from '../src/trail/trail-store.js'
import { type LessonsRead, readLessons } from './learning-lessons.js'
import { readOperationsFile } from './operations.js'
import type { Settings } from './settings.js'

/** Whose consults the learning page counts, and the file with all operations of the unit, where there is one. */
export interface LearningSource {
  /** `page`: those put on the page, which is all that its visitors may see. `all`: figures over every consult of the trail. */
  readonly counts: 'page' | 'all'
  /** Path of a CSV file; read anew at each counting. */
  readonly operationsFile?: string
}

export interface CountedLessons extends LessonsRead {
  readonly operations?: readonly ImportedOperation[]
  /** What the figures stand on, a sentence each. */
  readonly drawnFrom: readonly string[]
}

const PLACES: readonly (readonly [Platform, string])[] = [
  ['web', 'on the page'],
  ['slack', 'in Slack'],
  ['teams', 'in Teams'],
]

/** Goes through the trail for the learning page. No consult is named by what comes of it. */
export async function lessonsForPage(
  trail: Pick<TrailReading, 'links' | 'events' | 'plan' | 'planErased'>,
  page: Scope,
  { counts, operationsFile }: LearningSource,
): Promise<CountedLessons> {
  const read = await readLessons(trail, {}, counts === 'all' ? 'everything' : page)
  const whose = counts === 'all' ? allWords(read.putOn) : PAGE_ALONE
  if (operationsFile === undefined) return { ...read, drawnFrom: [whose, NO_OPERATIONS] }
  const found = await readOperationsFile(operationsFile)
  // Read when the server started; somebody has written to it since. The page says so rather than count some of it.
  if ('faults' in found) return { ...read, drawnFrom: [whose, unreadWords(found.faults[0] ?? '')] }
  const { operations } = found
  return {
    ...read,
    operations,
    drawnFrom: [whose, `Complications: all ${operations.length} operations of the unit that its file holds.`],
  }
}

const PAGE_ALONE =
  'Counted: the consults put on this page, and none of the chats. Whoever runs the server can have all counted: SOUNDINGS_LEARNING=all.'
const NO_OPERATIONS =
  'Complications: these consults only, not all operations of the unit. Whoever runs the server can name a file with all of them: SOUNDINGS_OPERATIONS.'

const allWords = (putOn: LessonsRead['putOn']): string => {
  const parts = PLACES.flatMap(([platform, words]) => (putOn[platform] === undefined ? [] : [`${putOn[platform]} put ${words}`]))
  return `Counted: every consult of this trail${parts.length === 0 ? '' : ` (${parts.join(', ')})`}. Figures only: what may be read of a consult is as before.`
}

const unreadWords = (fault: string): string =>
  `Complications: these consults only. The file with all operations could not be read as it is now: ${fault}.`

/** What is wrong with the file of all operations, a sentence each, with the setting that names it. */
export async function operationsFaults({
  SOUNDINGS_OPERATIONS: file,
}: Pick<Settings, 'SOUNDINGS_OPERATIONS'>): Promise<readonly string[]> {
  const read = file === undefined ? undefined : await readOperationsFile(file)
  return read && 'faults' in read ? read.faults.map((fault) => `SOUNDINGS_OPERATIONS: ${fault}`) : []
}
