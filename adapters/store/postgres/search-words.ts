import type { Query } from '../../../src/trail/find.js'

/**
 * Words are folded and cut before they reach the database, so its own parser, which would take the `-7` of a reference for a
 * number, is never asked: vectors and queries are written as PostgreSQL prints them (manual, 8.11 Text Search Types).
 */

/** A word longer than this cannot be kept (the limit is 2046 bytes); it is found by its beginning. */
const LONGEST_WORD = 500
/** Positions end here; words beyond are kept without their order. */
const LAST_POSITION = 16_383
/** At most so many places are kept of one word. */
const PLACES_OF_A_WORD = 255

const kept = (word: string): string => word.slice(0, LONGEST_WORD)
const quoted = (word: string): string => `'${kept(word).replaceAll('\\', '').replaceAll("'", '')}'`

/** The vector of a consult's words. A gap between the two parts keeps a phrase from reaching across. */
export function searchVector({ asked, talk }: { readonly asked: string; readonly talk: string }): string {
  const places = new Map<string, number[]>()
  let position = 0
  for (const part of [asked, talk]) {
    for (const word of part.split(' ').filter((one) => one !== '')) {
      position += 1
      const found = places.get(quoted(word))
      if (!found) places.set(quoted(word), [Math.min(position, LAST_POSITION)])
      else if (found.length < PLACES_OF_A_WORD && position <= LAST_POSITION) found.push(position)
    }
    position += 2
  }
  return [...places].map(([word, found]) => `${word}:${found.join()}`).join(' ')
}

/** All phrases must stand there; the last word also finds longer ones, unless it belongs to a reference. */
export function searchQuery({ phrases }: Query): string {
  const last = phrases.length - 1
  return phrases
    .map((words, index) => {
      const phrase = words.map(quoted).join(' <-> ')
      if (words.length > 1) return `(${phrase})`
      return index === last ? `${phrase}:*` : phrase
    })
    .join(' & ')
}
