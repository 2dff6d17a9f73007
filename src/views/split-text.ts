/**
 * Breaks a text into pieces of at most `limit` characters: after a sentence where there is one in the later half,
 * else at a space, and inside a word only when a single word is longer than a piece. Nothing is left out.
 */
export function splitText(text: string, limit: number): readonly string[] {
  const pieces: string[] = []
  let rest = text.trim()
  while (rest.length > limit) {
    const at = breakIn(rest, limit)
    pieces.push(rest.slice(0, at).trimEnd())
    rest = rest.slice(at).trimStart()
  }
  return rest === '' ? pieces : [...pieces, rest]
}

function breakIn(text: string, limit: number): number {
  const window = text.slice(0, limit + 1)
  const sentence = Math.max(...['. ', '? ', '! ', '; '].map((end) => window.lastIndexOf(end)))
  if (sentence >= limit / 2) return sentence + 1
  const space = window.lastIndexOf(' ')
  if (space > 0) return space
  // Never between the two halves of one character.
  const code = text.charCodeAt(limit - 1)
  return code >= 0xd800 && code <= 0xdbff && limit > 1 ? limit - 1 : limit
}
