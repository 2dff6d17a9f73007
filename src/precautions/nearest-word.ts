/** The word of a list that a misspelt word was probably meant to be, or undefined when none is near. */
export function nearestWord(word: string, words: readonly string[]): string | undefined {
  const plain = word.toLowerCase()
  let best: string | undefined
  let fewest = Math.max(2, Math.floor(plain.length / 3)) + 1
  for (const candidate of words) {
    const other = candidate.toLowerCase()
    const distance = plain.length >= 4 && other.startsWith(plain) ? 1 : editDistance(plain, other)
    if (distance < fewest) {
      best = candidate
      fewest = distance
    }
  }
  return best
}

/** Levenshtein's distance: the fewest letters to insert, delete or replace. */
function editDistance(one: string, other: string): number {
  let row = Array.from({ length: other.length + 1 }, (_, column) => column)
  for (let line = 1; line <= one.length; line += 1) {
    const next = [line]
    for (let column = 1; column <= other.length; column += 1) {
      const replaced = (row[column - 1] ?? 0) + (one[line - 1] === other[column - 1] ? 0 : 1)
      next.push(Math.min(replaced, (row[column] ?? 0) + 1, (next[column - 1] ?? 0) + 1))
    }
    row = next
  }
  return row[other.length] ?? 0
}
