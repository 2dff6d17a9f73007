import { isNameless, type Person, type Place, type Reached } from '../consult/people.js'
import { couldBeName } from '../intake/colleague-names.js'
import type { DeskDeps } from './deps.js'
import { folded, isPersonId } from './groups.js'
import type { Mentioned } from './ports.js'
import type { DeskView } from './store.js'

/** Who names people, and where: the same name may stand for somebody else in another workspace. */
export interface Naming {
  readonly by: Person
  readonly place: Place
  readonly mentioned?: readonly Mentioned[]
}

/** Whom names stand for. With a problem nothing is to be done: it says which name, and what to write instead. */
export interface Meant {
  /** The names as they stand on a card: people and groups by their own names. */
  readonly names: readonly string[]
  readonly reached: readonly Reached[]
  /** Those of them that are people known here. */
  readonly people: readonly Person[]
  readonly problems: readonly string[]
}

type One = { readonly name: string; readonly reached: readonly Reached[]; readonly people?: readonly Person[] }

/**
 * Whom these names stand for: those whom the chat marks, the department's groups, and the people who have been heard of
 * here. A name that nobody is known by stands as it is, and whoever reads it is not told; one that several are known by is
 * refused with the choices.
 */
export async function whoIsMeant(names: readonly string[], naming: Naming, view: DeskView, deps: DeskDeps): Promise<Meant> {
  const everybody = names.length === 0 ? [] : await view.people(naming.place)
  const heard = everybody.filter(({ id }) => !MARK_ONLY.test(id))
  const known = isNameless(naming.by) || heard.some(({ id }) => id === naming.by.id) ? heard : [...heard, naming.by]
  const found = names.map((name) => oneMeant(name, naming, known, deps))
  const meant = found.flatMap((one) => ('problem' in one ? [] : [one]))
  return {
    names: [...new Set(meant.map(({ name }) => name))],
    reached: once(meant.flatMap(({ reached }) => reached)),
    people: once(meant.flatMap(({ people = [] }) => people)),
    problems: found.flatMap((one) => ('problem' in one ? [one.problem] : [])),
  }
}

/** Groups, and people as a mention alone names them: their name is kept for telling them, and means nobody by itself. */
const MARK_ONLY = /^slack:[^:]+:S|^teams:[^:]+:(?:29:|tag:)/u

const choices = (words: readonly string[]): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} or ${words.at(-1)}`

const once = <Item>(items: readonly Item[]): readonly Item[] => [
  ...new Map(items.map((item) => [JSON.stringify(item), item])).values(),
]

const asReached = (of: string, { id, name }: Pick<Person, 'id' | 'name'>): Reached => ({ of, name, id })
const person = (one: Person): One => ({ name: one.name, reached: [asReached(one.name, one)], people: [one] })

function oneMeant(
  said: string,
  { by, place, mentioned = [] }: Naming,
  known: readonly Person[],
  deps: DeskDeps,
): One | { readonly problem: string } {
  const wanted = folded(said)
  const marked = mentioned.find(({ said: mark, kind }) => kind !== 'channel' && folded(mark) === wanted)
  if (marked?.kind === 'group') return groupMarked(marked)
  if (marked) return person(knownFor({ id: marked.id, name: marked.said }, known))
  if (/^(?:me|myself)$/u.test(wanted)) return person(by)
  if (isPersonId(said)) return person(known.find(({ id }) => id === said) ?? { id: said, name: said })
  const group = deps.groups?.find(({ name }) => folded(name) === wanted)
  if (group) return groupNamed(group, place, known)
  if (!couldBeName(said))
    return {
      problem: `“${said}” is not read as a name. Write names with commas between them, and every other part after a semicolon`,
    }
  return personNamed(said, place, known)
}

/** Teams marks people by an id of the bot's own; who has been heard of is known by the directory's. */
function knownFor(marked: Person, known: readonly Person[]): Person {
  const same = known.find(({ id }) => id === marked.id)
  if (same) return same
  const named = /:29:/u.test(marked.id) ? known.filter(({ name }) => folded(name) === folded(marked.name)) : []
  return (named.length === 1 ? named[0] : undefined) ?? marked
}

function groupMarked({ said: name, id, members }: Mentioned): One {
  return members === undefined || members.length === 0
    ? { name, reached: [{ of: name, name, id, whole: true }] }
    : { name, reached: members.map((member) => asReached(name, member)) }
}

/** The people of a group who can be on this chat: those named by an id of another one are reached there, not here. */
function groupNamed(
  { name, members }: NonNullable<DeskDeps['groups']>[number],
  { platform, workspace }: Place,
  known: readonly Person[],
): One | { readonly problem: string } {
  const here = platform === 'web' ? 'web:' : `${platform}:${workspace}:`
  const reached = members.flatMap((member): readonly Reached[] => {
    if (isPersonId(member)) {
      if (!member.startsWith(here)) return []
      return [asReached(name, known.find(({ id }) => id === member) ?? { id: member, name: member })]
    }
    const people = known.filter((one) => folded(one.name) === folded(member))
    return people.length === 0 ? [{ of: name, name: member }] : people.map((one) => asReached(name, one))
  })
  return reached.length === 0
    ? { problem: `Nobody of ${name} is on this chat. Name people instead, or have the group’s list completed` }
    : { name, reached }
}

function personNamed(said: string, { platform }: Place, known: readonly Person[]): One | { readonly problem: string } {
  const bracket = /^(?<name>.*\S)\s*\((?<apart>[^()]+)\)$/u.exec(said)?.groups
  const name = bracket?.['name'] ?? said
  const apart = bracket?.['apart'] === undefined ? undefined : folded(bracket['apart'])
  if (apart === 'new') return { name, reached: [] }
  const exact = known.filter((one) => folded(one.name) === folded(name))
  const named = exact.length > 0 ? exact : known.filter((one) => isPartOf(folded(name), folded(one.name)))
  const apartOnes =
    apart === undefined
      ? []
      : named.filter((one) => [one.grade, one.field].some((word) => word !== undefined && folded(word) === apart))
  const people = apartOnes.length > 0 ? apartOnes : named
  const [one] = people
  if (one === undefined) {
    const near = known.filter((other) => isSlipOf(folded(name), folded(other.name))).map(inFull)
    return near.length === 0
      ? { name, reached: [] }
      : {
          problem: `“${name}” is not known here. Did you mean ${choices(near)}? Write it like that; for somebody else who has not written here yet: ${name} (new)`,
        }
  }
  if (people.length === 1) return person(one)
  // At the page a person is known by their name alone: the same name in two browsers is one person.
  if (platform === 'web' && exact.length === people.length)
    return { name: one.name, reached: people.map((other) => asReached(one.name, other)), people: [one] }
  const how =
    exact.length > 0
      ? `Add what tells them apart, such as ${name} (${one.field ?? one.grade ?? 'retina'}), or mention the person with @`
      : 'Write the whole name, or mention the person with @'
  return { problem: `“${said}” may be ${choices(people.map(inFull))}. ${how}` }
}

const inFull = ({ name, grade, field }: Person): string => {
  const apart = [grade, field].filter((word) => word !== undefined).join(', ')
  return apart === '' ? name : `${name} (${apart})`
}

/** "Finch" and "O Finch" are parts of "Odile Finch"; initials alone are not. */
function isPartOf(wanted: string, whole: string): boolean {
  const words = whole.split(' ')
  const parts = wanted.split(' ')
  return (
    parts.some((part) => part.length > 1) &&
    parts.every((part) => words.some((word) => word === part || (part.length === 1 && word.startsWith(part))))
  )
}

/** A slip in the whole name, or in the one part of it that was written. */
const isSlipOf = (wanted: string, whole: string): boolean =>
  isNear(wanted, whole) ||
  (wanted.length >= SHORT && !wanted.includes(' ') && whole.split(' ').some((part) => isNear(wanted, part)))

const SHORT = 5

/** One letter wrong in a short name, two in a longer one; two letters that changed places count once. */
function isNear(one: string, other: string): boolean {
  const most = Math.min(one.length, other.length) <= SHORT ? 1 : 2
  return Math.abs(one.length - other.length) <= most && editsBetween(one, other) <= most
}

function editsBetween(one: string, other: string): number {
  const rows: number[][] = [Array.from({ length: other.length + 1 }, (_, at) => at)]
  for (let i = 1; i <= one.length; i += 1) {
    const row = [i]
    for (let j = 1; j <= other.length; j += 1) {
      const same = one[i - 1] === other[j - 1] ? 0 : 1
      let least = Math.min((rows[i - 1]?.[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (rows[i - 1]?.[j - 1] ?? 0) + same)
      if (i > 1 && j > 1 && one[i - 1] === other[j - 2] && one[i - 2] === other[j - 1])
        least = Math.min(least, (rows[i - 2]?.[j - 2] ?? 0) + 1)
      row.push(least)
    }
    rows.push(row)
  }
  return rows[one.length]?.[other.length] ?? 0
}

/** Who is named and cannot be told, said to whoever named them. */
export function untold(names: readonly string[], reached: readonly Reached[]): readonly string[] {
  return names.flatMap((name) => {
    const people = reached.filter(({ of }) => of === name)
    if (people.length === 0)
      return [
        `“${name}” is not known here yet: the name stands on the card, but the chat can tell nobody. A mention with @ reaches them`,
      ]
    if (people.some(({ whole }) => whole))
      return [`The people of ${name} are not known here, so the group is told as a whole and its answers are counted by nobody`]
    const unknown = people.filter(({ id }) => id === undefined).map((one) => one.name)
    return unknown.length === 0 ? [] : [`Of ${name}, not known here yet and so not told: ${unknown.join(', ')}`]
  })
}
