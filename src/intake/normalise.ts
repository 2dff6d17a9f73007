/** A text in one alphabet of signs, with the way back: `origin(i)` is where character i stood in the text as typed. */
export interface PlainText {
  readonly text: string
  readonly origin: (at: number) => number
}

const PLAIN = /^[\n\t\u0020-\u007E]*$/
const FORMAT = /^\p{Cf}$/u
const OTHER_SPACE = /^[\p{Zs}\t\v\f]$/u
const DECIMAL_DIGIT = /^\p{Nd}$/u
const DASHES = new Set('\u2010\u2011\u2012\u2013\u2014\u2015\u2212\uFE58\uFE63\uFF0D\u2796')
const RAISED_POINTS = new Set('\u00B7\u2219\u22C5\u2027')
const SIGNS: Readonly<Record<string, string>> = {
  '\u2018': "'",
  '\u2019': "'",
  '\u02BC': "'",
  '\u201C': '"',
  '\u201D': '"',
  '\u00BA': '°',
  '\u02DA': '°',
  '\u00D7': 'x',
  '\u2715': 'x',
  '\u2044': '/',
  '\u2215': '/',
  '\u00B5': 'µ',
  '\u03BC': 'µ',
  '\u060C': ',',
  '\u066B': '.',
  '\u2028': '\n',
  '\u2029': '\n',
  '\u0085': '\n',
}

/** The value of a decimal digit of any script: its block of ten starts at a digit whose predecessor is no digit. */
function digitValue(character: string): string {
  let code = character.codePointAt(0) ?? 0
  let value = 0
  while (value < 9 && DECIMAL_DIGIT.test(String.fromCodePoint(code - 1))) {
    code -= 1
    value += 1
  }
  return String(value)
}

function plain(character: string): string {
  const sign = SIGNS[character]
  if (sign !== undefined) return sign
  if (DASHES.has(character)) return '-'
  if (FORMAT.test(character)) return ''
  if (OTHER_SPACE.test(character)) return ' '
  if (DECIMAL_DIGIT.test(character)) return digitValue(character)
  const folded = character.normalize('NFKC')
  return folded === 'μ' ? 'µ' : folded
}

/**
 * Folds full-width, circled and other-script signs, dashes, quotes and spaces to one form each, and drops zero-width
 * characters, so that neither a reading nor the identifier guard depends on how something was typed.
 * Tabs stay tabs: they part the columns of a sheet. Linear in the length of the text.
 */
export function normalise(typed: string): PlainText {
  if (PLAIN.test(typed)) return { text: typed, origin: (at) => Math.min(at, typed.length) }
  const parts: string[] = []
  const origin: number[] = []
  let at = 0
  const push = (out: string): void => {
    parts.push(out)
    for (let k = 0; k < out.length; k += 1) origin.push(at)
  }
  while (at < typed.length) {
    const code = typed.charCodeAt(at)
    if (code < 128) {
      if (code === 13) push('\n')
      else if (code >= 32 || code === 9 || code === 10) push(typed.charAt(at))
      else push(' ')
      at += code === 13 && typed.charCodeAt(at + 1) === 10 ? 2 : 1
      continue
    }
    const character = String.fromCodePoint(typed.codePointAt(at) ?? 32)
    // A raised point between digits is a decimal point; elsewhere it is a bullet.
    if (RAISED_POINTS.has(character) && /\d/.test(typed.charAt(at - 1)) && /\d/.test(typed.charAt(at + 1))) {
      push('.')
      at += character.length
      continue
    }
    push(plain(character))
    at += character.length
  }
  return { text: parts.join(''), origin: (index) => origin[index] ?? typed.length }
}

/** The characters from `start` to `end` of the plain text, as they were typed. */
export const asTyped = (typed: string, { origin }: PlainText, start: number, end: number): string =>
  typed.slice(origin(start), origin(end)).trim()
