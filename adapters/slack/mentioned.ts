import type { Mentioned } from '../../src/desk/ports.js'
import type { NameBook } from './names.js'
import type { Mark } from './plain-text.js'
import { personId } from './translation.js'
import type { UserGroups } from './user-groups.js'

/** A larger group is told as a whole: nobody waits while the names of so many are looked up. */
const MOST_MEMBERS = 40

export interface Marked {
  readonly text: string
  readonly mentioned: readonly Mentioned[]
}

/** The text with people and groups by the names that colleagues read, and whom they mean. */
export async function named(
  text: string,
  marks: readonly Mark[],
  team: string,
  { names, groups }: { readonly names: NameBook; readonly groups: UserGroups },
): Promise<Marked> {
  const mentioned = await Promise.all(marks.map((mark) => one(mark, team, { names, groups })))
  let shown = text
  for (const [index, { kind, said }] of marks.entries()) {
    const name = mentioned[index]?.said
    if (kind !== 'channel' && name !== undefined && name !== said) shown = replaced(shown, `@${said}`, `@${name}`)
  }
  return { text: shown, mentioned }
}

async function one(
  { kind, id, said }: Mark,
  team: string,
  { names, groups }: { readonly names: NameBook; readonly groups: UserGroups },
): Promise<Mentioned> {
  if (kind === 'channel') return { kind, said, id }
  if (kind === 'person') return { kind, said: plainName((await names.nameOf(id)) ?? said), id: personId(team, id) }
  const group = await groups.groupOf(id)
  const about = { kind, said: plainName(group?.name ?? said), id: personId(team, id) }
  if (group === undefined || group.users.length === 0 || group.users.length > MOST_MEMBERS) return about
  const members = await Promise.all(
    group.users.map(async (user) => ({ id: personId(team, user), name: plainName((await names.nameOf(user)) ?? `@${user}`) })),
  )
  return { ...about, members }
}

/** Commas and semicolons part names and commands, so none stands inside a name. */
const plainName = (name: string): string =>
  name
    .replace(/[,;\n]+/g, ' ')
    .replace(/\s+/g, ' ')
    .trim()

/** Everywhere but inside a longer word: "@U0002" is not the beginning of "@U00021". */
function replaced(text: string, from: string, to: string): string {
  return text.split(from).reduce((before, after) => `${before}${/^[\p{L}\p{N}]/u.test(after) ? from : to}${after}`)
}
