/**
 * Search in words people use. Both the words kept and the words asked for pass through the same folding, so that
 * "Übersicht" finds "ubersicht" whatever the database would make of accents.
 */

/** Letters without accents or case, so that one spelling stands for all. */
export const folded = (text: string): string =>
  text
    .normalize('NFKD')
    .replace(/\p{M}+/gu, '')
    .toLowerCase()
    .replaceAll('ß', 'ss')
    .replaceAll('ø', 'o')
    .replaceAll('æ', 'ae')
    .replaceAll('ł', 'l')

/**
 * The words of a text. A number with decimals is one word without trailing zeros, its point written as `p`
 * (29.60 and 29,6 are both `29p6`); a reference such as MARSH-7 is two words side by side.
 */
export const tokens = (text: string): readonly string[] =>
  folded(text)
    .replace(/(\d)[.,](\d+)/g, (_all, before: string, decimals: string) => {
      const kept = decimals.replace(/0+$/, '')
      return kept === '' ? before : `${before}p${kept}`
    })
    .match(/[\p{L}\p{N}]+/gu) ?? []

/** The words as a store keeps them for searching. */
export const searchText = (text: string): string => tokens(text).join(' ')

export interface Query {
  /** Words that must all stand in the consult; neighbours in the query that were joined by a sign stay side by side. */
  readonly phrases: readonly (readonly string[])[]
}

/** At most this many words are looked for: nobody types more, and a longer list only costs time. */
export const MOST_WORDS = 24

/** What to look for, or undefined when nothing was asked for. */
export function queryOf(text: string): Query | undefined {
  const phrases = text
    .trim()
    .split(/\s+/u)
    .map((word) => tokens(word))
    .filter((words) => words.length > 0)
    .slice(0, MOST_WORDS)
  return phrases.length === 0 ? undefined : { phrases }
}

/**
 * The query in the full-text language of SQLite FTS5. Every word is quoted, so that no sign in it is read as an operator.
 * The last word also finds longer words that begin with it, unless it is a reference: MARSH-7 is not MARSH-70.
 */
export function fts5Expression(query: Query): string {
  const quoted = query.phrases.map((words) => `"${words.join(' ')}"`)
  return (query.phrases.at(-1) ?? []).length > 1 ? quoted.join(' ') : `${quoted.join(' ')}*`
}
