import type { Person, Place } from '../../src/consult/people.js'
import type { Reader, Writer } from './database.js'

/** Ids say where a person belongs: `slack:TEAM:USER`, `teams:TENANT:USER`, and at the page `web:VISITOR`. */
const idsBeginWith = ({ platform, workspace }: Place): string => (platform === 'web' ? 'web:' : `${platform}:${workspace}:`)

/** Everybody who has been heard of in the workspace of this place, by name. */
export async function peopleOf(reader: Reader, place: Place): Promise<readonly Person[]> {
  const begin = idsBeginWith(place)
  const rows = await reader
    .selectFrom('people')
    .selectAll()
    .where('id', '>=', begin)
    // The character after the colon bounds what begins with the same ids.
    .where('id', '<', `${begin.slice(0, -1)};`)
    .orderBy('name')
    .orderBy('id')
    .execute()
  return rows.map(({ id, name, grade, field }) => ({
    id,
    name,
    ...(grade === null ? {} : { grade }),
    ...(field === null ? {} : { field }),
  }))
}

const MOST_REMEMBERED = 5_000

/** Names by id as this process last wrote them: most deliveries come from people who were heard of before. */
export type Remembered = Map<string, string>

/** Keeps the name that somebody goes by now; their grade and field stay as they said them. */
export async function keepHeardOf(
  writer: Writer,
  heard: readonly Pick<Person, 'id' | 'name'>[],
  known: Remembered,
): Promise<void> {
  for (const { id, name } of heard) {
    if (known.get(id) === name) continue
    await writer
      .insertInto('people')
      .values({ id, name, grade: null, field: null })
      .onConflict((conflict) => conflict.column('id').doUpdateSet({ name }))
      .execute()
  }
}

/** After the transaction that wrote them: one that was undone has written nothing. */
export function remember(known: Remembered, heard: readonly Pick<Person, 'id' | 'name'>[]): void {
  if (known.size > MOST_REMEMBERED) known.clear()
  for (const { id, name } of heard) known.set(id, name)
}
