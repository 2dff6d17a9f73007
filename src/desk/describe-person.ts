import type { Person } from '../consult/people.js'
import type { Inbound } from './ports.js'
import { note, refuse, standing } from './replies.js'
import type { DeskView, Effects } from './store.js'

const LONGEST = 60

/** `me: consultant, cornea`: what stands beside this person's opinions from now on. Earlier opinions keep what stood there. */
export async function describePerson(inbound: Inbound, described: string, view: DeskView): Promise<Effects> {
  const [grade = '', ...rest] = described.split(',').map((part) => part.trim())
  const field = rest.filter((part) => part !== '').join(', ')
  if (grade === '') {
    const known = await standing(inbound.by, view)
    return note(inbound, `${standsBeside(known)} To change it, write: me: consultant, cornea`)
  }
  if (grade.length > LONGEST || field.length > LONGEST || !/\p{L}/u.test(grade)) {
    return refuse(
      inbound,
      `Write your grade and your field in at most ${LONGEST} characters each, such as: me: consultant, cornea`,
    )
  }
  const person: Person = { id: inbound.by.id, name: inbound.by.name, grade, ...(field === '' ? {} : { field }) }
  return { ...note(inbound, standsBeside(person)), people: [person] }
}

const standsBeside = ({ grade, field }: Person): string =>
  grade === undefined
    ? 'Your grade is not stated beside your opinions.'
    : `Beside your opinions stands: ${[grade, field].filter((part) => part !== undefined).join(', ')}.`
