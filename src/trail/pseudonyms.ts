import type { Person } from '../consult/people.js'

export interface Pseudonyms {
  readonly person: (person: Pick<Person, 'id' | 'name'>) => string
}

/**
 * What colleagues are called in one export: by their names, or numbered in the order in which they appear, so that two
 * exports cannot be put together by their numbers. It grows with the people of a department, not with its consults.
 */
export function pseudonyms(byName: boolean): Pseudonyms {
  const numbers = new Map<string, number>()
  return {
    person({ id, name }) {
      if (byName) return name
      const number = numbers.get(id) ?? numbers.size + 1
      numbers.set(id, number)
      return `colleague ${number}`
    },
  }
}
