export interface Token {
  readonly kind: 'word' | 'number' | 'date' | 'symbol'
  /** As in the plain text; a number keeps its sign and its separators. */
  readonly text: string
  readonly lower: string
  /** Offsets in the plain text. */
  readonly start: number
  readonly end: number
  /** Line of the message, from 1. */
  readonly line: number
  /** Blanks before it on its line; 0 means that it touches what stands before it. */
  readonly gap: number
  /** A tab or an upright bar stands before it: a column of a sheet begins. */
  readonly newCell: boolean
}

const isDigit = (code: number): boolean => code >= 48 && code <= 57
const isAsciiLetter = (code: number): boolean => (code >= 65 && code <= 90) || (code >= 97 && code <= 122)
const LETTER = /^[\p{L}\p{M}]$/u
const isLetter = (text: string, at: number): boolean => {
  const code = text.charCodeAt(at)
  if (code < 128) return isAsciiLetter(code)
  return LETTER.test(String.fromCodePoint(text.codePointAt(at) ?? 32))
}
const letterWidth = (text: string, at: number): number => ((text.codePointAt(at) ?? 0) > 0xffff ? 2 : 1)

const DATE_FORMS = [
  /\d{4}-\d{1,2}-\d{1,2}/y,
  /\d{4}\/\d{1,2}\/\d{1,2}/y,
  /\d{1,2}[/-]\d{1,2}[/-]\d{4}/y,
  /\d{1,2}\.\d{1,2}\.\d{4}/y,
  /\d{1,2}\/\d{1,2}\/\d{2}/y,
  // With two figures for the year only what can be a day and a month: "14-16-18" is three pressures.
  /(?:0?[1-9]|[12]\d|3[01])([.-])(?:0?[1-9]|1[0-2])\1\d{2}/y,
]

/** Where a date in figures that starts here ends, or -1. A digit or a separator on either side means that it is none. */
function dateEnd(text: string, at: number): number {
  for (const form of DATE_FORMS) {
    form.lastIndex = at
    if (!form.test(text)) continue
    const next = text.charCodeAt(form.lastIndex)
    const follows = text.charAt(form.lastIndex)
    if (!isDigit(next) && !('/-.'.includes(follows) && follows !== '' && isDigit(text.charCodeAt(form.lastIndex + 1))))
      return form.lastIndex
  }
  return -1
}

/** Where the number that starts here ends: digits, thousands in threes, one decimal point or comma. */
function numberEnd(text: string, from: number): number {
  const digits = (start: number): number => {
    let end = start
    while (isDigit(text.charCodeAt(end))) end += 1
    return end
  }
  let at = digits(from)
  const whole = at - from
  let grouped = false
  while (whole > 0 && whole <= 3 && text.charAt(at) === ',' && digits(at + 1) === at + 4) {
    at += 4
    grouped = true
  }
  const mark = text.charAt(at)
  const decimals = digits(at + 1) - at - 1
  if (mark === '.' && decimals > 0) return at + 1 + decimals
  if (mark === ',' && decimals > 0 && !grouped) return at + 1 + decimals
  return at
}

const isSignPlace = (text: string, at: number): boolean => {
  if (at === 0) return true
  const before = text.charCodeAt(at - 1)
  return !(isDigit(before) || isLetter(text, at - 1) || before === 41 || before === 45 || before === 43 || before === 176)
}

/** The words, numbers, dates and signs of a plain text, line by line. Linear in the length of the text. */
export function tokenise(text: string): readonly Token[] {
  const tokens: Token[] = []
  let at = 0
  let line = 1
  let gap = 0
  let newCell = false
  const take = (kind: Token['kind'], end: number): void => {
    const raw = text.slice(at, end)
    tokens.push({ kind, text: raw, lower: raw.toLowerCase(), start: at, end, line, gap, newCell })
    at = end
    gap = 0
    newCell = false
  }
  while (at < text.length) {
    const character = text.charAt(at)
    const code = text.charCodeAt(at)
    if (character === '\n') {
      line += 1
      gap = 1
      newCell = false
      at += 1
    } else if (character === ' ' || character === '\t' || character === '|') {
      newCell ||= character !== ' '
      gap += 1
      at += 1
    } else if (isDigit(code) || (character === '.' && isDigit(text.charCodeAt(at + 1)))) {
      const date = dateEnd(text, at)
      if (date > 0) take('date', date)
      else take('number', numberEnd(text, at))
    } else if (
      (character === '-' || character === '+') &&
      isSignPlace(text, at) &&
      /[\d.]/.test(text.charAt(at + 1)) &&
      numberEnd(text, at + 1) > at + 1
    ) {
      take('number', numberEnd(text, at + 1))
    } else if (isLetter(text, at)) {
      let end = at
      while (end < text.length && isLetter(text, end)) end += letterWidth(text, end)
      take('word', end)
    } else if (character === '-' || character === '?' || character === '.' || character === '_') {
      let end = at + 1
      while (text.charAt(end) === character) end += 1
      take('symbol', end)
    } else take('symbol', at + letterWidth(text, at))
  }
  return tokens
}
