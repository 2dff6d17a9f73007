/**
 * The numbers of a plan, written in few bytes and read again as the same characters.
 *
 * Most of a plan's numbers say again what an earlier one said: the same value, an earlier one rounded to six decimals, or the
 * next of a row of refractions that runs almost straight. Those are written as their place or as what is left over. A number
 * computed in full keeps its 52 bits of mantissa aside, since nothing makes them shorter. All steps are whole-number or
 * correctly rounded arithmetic (IEEE 754-2019, section 5.4), so they give the same everywhere.
 */
export interface WrittenNumbers {
  /** Separated by spaces; see `written`. */
  readonly words: string
  /** 13 hexadecimal digits for each number computed in full. */
  readonly mantissas: string
}

const SAME = 'r'
const ROUNDED = 'o'
const ON_THE_ROW = 'q'
/** Capital letters stand for a number in full; which one says its exponent. */
const FIRST_EXPONENT = -17
const EXPONENTS = 26
const MANTISSA_DIGITS = 13

const WORTH_A_PLACE = 5
const IN_FULL = /^\d+\.\d+(?:e[+-]?\d+)?$/
const FULL_DIGITS = 12
const UP_TO_SIX_DECIMALS = /^-?\d+(?:\.\d{1,6})?$/
const THREE_TO_SIX_DECIMALS = /^-?\d+\.\d{3,6}$/
const MILLIONTHS = 1_000_000
const MOST_MILLIONTHS = 1e9
const FURTHEST_OFF = 20_000

const rounded = (value: number): string => String(Math.round(value * MILLIONTHS) / MILLIONTHS)
const digits = (text: string): number => text.replace(/[.-]/g, '').replace(/^0+/, '').length
const millionths = (text: string | undefined): number | undefined => {
  if (text === undefined || !UP_TO_SIX_DECIMALS.test(text)) return undefined
  const value = Math.round(Number(text) * MILLIONTHS)
  return Math.abs(value) < MOST_MILLIONTHS ? value : undefined
}

/** What was said so far, the last first; and which of it a rounded number may come from. */
interface Said {
  readonly recent: string[]
  readonly roundings: Map<string, string>
}

function say(said: Said, text: string): void {
  said.recent.unshift(text)
  if (isFull(text)) said.roundings.set(rounded(Number(text)), text)
}

function sayAgain({ recent }: Said, place: number): string {
  const [text = ''] = recent.splice(place, 1)
  recent.unshift(text)
  return text
}

const isFull = (text: string): boolean => IN_FULL.test(text) && digits(text) >= FULL_DIGITS && String(Number(text)) === text

/** Where the row of every second number goes on, in millionths: straight through two of them, or bent as three are. */
function nextOnTheRow(before: readonly string[], index: number): number | undefined {
  const [last, earlier, first] = [2, 4, 6].map((back) => before[index - back]).map((text) => onARow(text))
  if (last === undefined || earlier === undefined) return undefined
  return first === undefined ? 2 * last - earlier : 3 * last - 3 * earlier + first
}

const onARow = (text: string | undefined): number | undefined =>
  text !== undefined && THREE_TO_SIX_DECIMALS.test(text) ? millionths(text) : undefined

export function writeNumbers(numbers: readonly string[]): WrittenNumbers {
  const said: Said = { recent: [], roundings: new Map() }
  const words: string[] = []
  let mantissas = ''
  for (const [index, number] of numbers.entries()) {
    const sign = number.startsWith('-') ? '-' : ''
    const bare = number.slice(sign.length)
    const place = bare.length < WORTH_A_PLACE ? -1 : said.recent.indexOf(bare)
    const source = said.roundings.get(bare)
    const parts = isFull(bare) ? partsOf(Number(bare)) : undefined
    const row = offTheRow(numbers, index)
    if (place >= 0) {
      sayAgain(said, place)
      words.push(`${sign}${SAME}${place.toString(36)}`)
    } else if (source !== undefined) {
      words.push(`${sign}${ROUNDED}${said.recent.indexOf(source).toString(36)}`)
      say(said, bare)
    } else if (parts) {
      words.push(`${sign}${parts.letter}`)
      mantissas += parts.mantissa
      say(said, bare)
    } else if (row !== undefined) {
      words.push(`${ON_THE_ROW}${row}`)
    } else {
      words.push(number)
      if (bare.length >= WORTH_A_PLACE) say(said, bare)
    }
  }
  return { words: words.join(' '), mantissas }
}

function offTheRow(numbers: readonly string[], index: number): number | undefined {
  const number = numbers[index]
  const value = onARow(number)
  const expected = nextOnTheRow(numbers, index)
  if (value === undefined || expected === undefined || String(value / MILLIONTHS) !== number) return undefined
  const off = value - expected
  return Math.abs(off) < FURTHEST_OFF ? off : undefined
}

export function readNumbers({ words, mantissas }: WrittenNumbers): readonly string[] {
  if (words === '') return []
  const said: Said = { recent: [], roundings: new Map() }
  const numbers: string[] = []
  let used = 0
  for (const word of words.split(' ')) {
    const sign = word.startsWith('-') ? '-' : ''
    const bare = word.slice(sign.length)
    const kind = bare.charAt(0)
    const place = Number.parseInt(bare.slice(1), 36)
    if (kind === SAME) {
      numbers.push(sign + sayAgain(said, place))
    } else if (kind === ROUNDED) {
      const text = rounded(Number(said.recent[place]))
      say(said, text)
      numbers.push(sign + text)
    } else if (kind === ON_THE_ROW) {
      const expected = nextOnTheRow(numbers, numbers.length) ?? Number.NaN
      numbers.push(String((expected + Number(bare.slice(1))) / MILLIONTHS))
    } else if (kind >= 'A' && kind <= 'Z') {
      const text = String(numberOf(kind, mantissas.slice(used, used + MANTISSA_DIGITS)))
      used += MANTISSA_DIGITS
      say(said, text)
      numbers.push(sign + text)
    } else {
      numbers.push(word)
      if (bare.length >= WORTH_A_PLACE) say(said, bare)
    }
  }
  return numbers
}

/** IEEE 754 binary64: 11 bits of exponent, biased by 1023, then 52 of mantissa. */
const BIAS = 1023

function partsOf(value: number): { readonly letter: string; readonly mantissa: string } | undefined {
  const bytes = Buffer.alloc(8)
  bytes.writeDoubleBE(value)
  const hex = bytes.toString('hex')
  const step = Number.parseInt(hex.slice(0, 3), 16) - BIAS - FIRST_EXPONENT
  if (step < 0 || step >= EXPONENTS) return undefined
  return { letter: String.fromCharCode('A'.charCodeAt(0) + step), mantissa: hex.slice(3) }
}

function numberOf(letter: string, mantissa: string): number {
  const exponent = letter.charCodeAt(0) - 'A'.charCodeAt(0) + FIRST_EXPONENT + BIAS
  return Buffer.from(exponent.toString(16).padStart(3, '0') + mantissa, 'hex').readDoubleBE()
}
