import { z } from 'zod'
import { couldBeName } from '../intake/colleague-names.js'

/** Our id of a person: of Slack, of Teams, or of the page. */
const PERSON_ID = /^(?:slack:[A-Z0-9]+:[UW][A-Z0-9]+|teams:[0-9a-f-]{36}:(?:[0-9a-f-]{36}|29:[\w-]+)|web:[a-z0-9]{16})$/

export const isPersonId = (text: string): boolean => PERSON_ID.test(text)

const LONGEST = 80
const MOST_MEMBERS = 200

const name = z.string().trim().min(2).max(LONGEST).refine(couldBeName, 'a name of at most five words, without figures')

/** A group of the department that can be asked by its name. */
const group = z.strictObject({
  name,
  /** Its people: by the name that the chat shows, or by our id. */
  members: z
    .array(z.string().trim().max(200))
    .min(1, 'at least one member')
    .max(MOST_MEMBERS)
    .superRefine((members, context) => {
      for (const [index, member] of members.entries()) {
        const fault = (message: string) => context.addIssue({ code: 'custom', path: [index], message })
        if (!isPersonId(member) && !couldBeName(member))
          fault('write a name as the chat shows it, or an id such as slack:T0001:U0002')
        if (members.findIndex((other) => folded(other) === folded(member)) < index) fault('the same member twice')
      }
    }),
})

/** The department's groups, as a file gives them. */
export const groupsSchema = z.strictObject({ groups: z.array(group).max(200) }).superRefine(({ groups }, context) => {
  const names = groups.map((one) => folded(one.name))
  for (const [index, one] of groups.entries()) {
    const fault = (path: (string | number)[], message: string) =>
      context.addIssue({ code: 'custom', path: ['groups', index, ...path], message })
    if (names.indexOf(folded(one.name)) < index) fault(['name'], `another group is called ${one.name} too`)
    for (const [at, member] of one.members.entries())
      if (names.includes(folded(member))) fault(['members', at], 'a group cannot be a member of a group: list its people')
  }
})
export type Group = z.infer<typeof group>

/** A name for comparing: without accents, capitals, titles, stops and "the". */
export const folded = (text: string): string =>
  text
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[.’']/gu, '')
    .replace(/^(?:@|the\s+)/u, '')
    .replace(/^(?:dr|prof|professor|doctor|mr|mrs|ms|miss)\s+(?=\S)/u, '')
    .replace(/\s+/gu, ' ')
    .trim()
