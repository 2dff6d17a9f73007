export type Platform = 'slack' | 'teams' | 'web'

/** A colleague. `id` is unique over platforms: `slack:T…:U…`, `teams:tenant:aad-id`, `web:…`. */
export interface Person {
  readonly id: string
  readonly name: string
  /** As the colleague described themselves; absent means not stated. */
  readonly grade?: string
  readonly field?: string
}

/** What a visitor of the page is called who has not said who they are. */
export const UNNAMED = 'Colleague at the page'

/** Whether somebody's name is only an id, or none, because the chat did not give theirs. */
export const isNameless = ({ id, name }: Person): boolean =>
  name === UNNAMED || name === '' || name.startsWith('@') || id.endsWith(`:${name}`)

/** Where a consult is shown and answered. */
export interface Place {
  readonly platform: Platform
  /** Slack team, Teams tenant, or `local` for the page. */
  readonly workspace: string
  /** Channel or conversation id. */
  readonly channel: string
  /** Message that the thread hangs from, where there is one. */
  readonly thread?: string
}

/** Somebody whom a name stands for, or a group does; so that whoever is named by words is still known by their id. */
export interface Reached {
  /** The name as it was asked for: their own, or that of the group they are in. */
  readonly of: string
  readonly name: string
  /** Absent where a group's list names somebody who is not known yet. */
  readonly id?: string
  /** True where it is the group as a whole, whose people are not known: the chat tells them, nobody is counted. */
  readonly whole?: true
}

/** The names in a list as people write it: "@Odile Finch, Rowan Vale and the retina team". */
export const namesListed = (text: string): readonly string[] =>
  text
    .split(/\s*[,&\n]\s*|\s+(?:and|plus)\s+|(?:^|\s+)@/iu)
    .map((name) => name.replace(/^@/u, '').trim())
    .filter((name) => name !== '')

/** Ids of those whom these names stand for, each once; a name that nobody is known by stays as it is. */
export const idsOf = (names: readonly string[], reached: readonly Reached[] = []): readonly string[] => [
  ...new Set(
    names.flatMap((name) => {
      const people = reached.filter(({ of }) => of === name)
      return people.length === 0 ? [name] : people.map((one) => one.id ?? one.name)
    }),
  ),
]

/** Whether one of these names stands for this person. */
export function isAmong({ id, name }: Person, names: readonly string[], reached: readonly Reached[] = []): boolean {
  const own = name.toLowerCase()
  return names.some((named) => {
    const people = reached.filter(({ of, whole }) => of === named && !whole)
    return people.length === 0
      ? named === id || named.toLowerCase() === own
      : people.some((one) => (one.id === undefined ? one.name.toLowerCase() === own : one.id === id))
  })
}
