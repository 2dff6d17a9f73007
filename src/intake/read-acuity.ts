import { unknownMark } from './marks.js'
import { numberOf } from './numbers.js'
import { matchAt, phrases } from './phrases.js'
import { fact, type Place, type Reader, tokenAt } from './reading.js'

const NAMES: Readonly<Record<string, readonly string[]>> = {
  '': ['va', 'v/a', 'vision', 'acuity', 'visual acuity', 'vn', 'visual acuity (va)', 'visus', 'sees'],
  'best corrected': ['bcva', 'cdva', 'best corrected', 'bcva (dist)', 'best corrected va', 'corrected va', 'va cc', 'vacc'],
  unaided: ['ucva', 'udva', 'uva', 'unaided', 'unaided va', 'uncorrected', 'va sc', 'vasc'],
  pinhole: ['ph', 'pinhole'],
}
export const ACUITY_NAMES = phrases(
  Object.entries(NAMES).flatMap(([kind, written]) => written.map((form) => [form, kind] as const)),
)

const WORDS: Readonly<Record<string, readonly string[]>> = {
  CF: ['cf', 'counting fingers', 'count fingers', 'counts fingers', 'finger counting'],
  HM: ['hm', 'hand movements', 'hand motion', 'hand motions', 'hand movement'],
  PL: ['pl', 'lp', 'perception of light', 'light perception'],
  NPL: ['npl', 'nlp', 'no perception of light', 'no light perception'],
}
export const ACUITY_WORDS = phrases(
  Object.entries(WORDS).flatMap(([value, written]) => written.map((form) => [form, value] as const)),
)

interface Found {
  readonly used: number
  readonly shown: string
}

const isPlainNumber = (text: string | undefined): boolean => text !== undefined && /^\d/.test(text)

/** "6/60", "20/200", "3/60": a fraction whose first number is a usual test distance. */
function fractionAt(place: Place, offset: number): Found | undefined {
  const [over, stroke, under] = [tokenAt(place, offset), tokenAt(place, offset + 1), tokenAt(place, offset + 2)]
  if (over?.kind !== 'number' || stroke?.text !== '/' || under?.kind !== 'number') return undefined
  if (!isPlainNumber(over.text) || !isPlainNumber(under.text)) return undefined
  const [distance, letters] = [numberOf(over), numberOf(under)]
  const metres = distance <= 6 && letters >= 3 && letters <= 120
  const feet = distance === 20 && letters >= 10 && letters <= 2000
  if (!metres && !feet) return undefined
  const extra = tokenAt(place, offset + 3)
  const letterCount = extra?.kind === 'number' && /^[+-]\d$/.test(extra.text) && extra.gap === 0
  return { used: letterCount ? 4 : 3, shown: `${over.text}/${under.text}${letterCount ? extra.text : ''}` }
}

/** CF, HM, PL with the distance or quality that follows: "CF 1m", "PL+", "HM @ 30 cm". */
function wordAt(place: Place, offset: number): Found | undefined {
  const match = matchAt(ACUITY_WORDS, place.tokens, place.at + offset)
  if (match === undefined) return undefined
  let used = match.used
  let shown = match.value
  const sign = tokenAt(place, offset + used)
  if (sign?.text === '+' && sign.gap === 0) {
    used += 1
    shown += '+'
  }
  const at = tokenAt(place, offset + used)
  const joined = at?.text === '@' || at?.lower === 'at' ? 1 : 0
  const distance = tokenAt(place, offset + used + joined)
  const unit = tokenAt(place, offset + used + joined + 1)
  if (
    distance?.kind === 'number' &&
    isPlainNumber(distance.text) &&
    unit !== undefined &&
    ['m', 'cm', 'ft', 'metre', 'metres'].includes(unit.lower)
  ) {
    used += joined + 2
    shown += ` at ${distance.text} ${unit.lower}`
  }
  return { used, shown }
}

function logMarAt(place: Place, offset: number): Found | undefined {
  const [one, other] = [tokenAt(place, offset), tokenAt(place, offset + 1)]
  const number = one?.kind === 'number' ? one : other?.kind === 'number' ? other : undefined
  const word = one?.kind === 'word' ? one : other?.kind === 'word' ? other : undefined
  if (number === undefined || word?.lower !== 'logmar') return undefined
  return { used: 2, shown: `${number.text.replace(',', '.')} logMAR` }
}

const decimalAt = (place: Place, offset: number): Found | undefined => {
  const token = tokenAt(place, offset)
  if (token?.kind !== 'number' || !isPlainNumber(token.text)) return undefined
  const value = numberOf(token)
  return value > 0 && value <= 2 ? { used: 1, shown: `${token.text.replace(',', '.')} decimal` } : undefined
}

/** Whether a fraction stands here that can only be an acuity: "6/9", "20/40". */
export const acuityAt = (place: Place, offset: number): boolean => fractionAt(place, offset) !== undefined

const TIMED = new Set('quiet stable for since last past every within after review'.split(' '))
/** "quiet 6/12", "6/52 ago": months and weeks are written as fractions too. */
function isATime(place: Place): boolean {
  const [count, stroke, unit] = [tokenAt(place, 0), tokenAt(place, 1), tokenAt(place, 2)]
  if (count?.kind !== 'number' || stroke?.text !== '/' || !['7', '12', '52'].includes(unit?.text ?? '')) return false
  return unit?.text === '52' || tokenAt(place, 3)?.lower === 'ago' || TIMED.has(tokenAt(place, -1)?.lower ?? '')
}

/** Visual acuity, with or without its name: "VA 6/60", "0.8 logMAR", "CF", "vision HM". */
export const readAcuity: Reader = (place) => {
  const name = matchAt(ACUITY_NAMES, place.tokens, place.at)
  if (name === undefined) {
    if (isATime(place)) return undefined
    const found = fractionAt(place, 0) ?? wordAt(place, 0) ?? logMarAt(place, 0)
    return found === undefined ? undefined : { used: found.used, facts: [fact('acuity', 'acuity', found.shown, found.shown)] }
  }
  let used = name.used
  while ([':', '=', 'of', 'is', 'was'].includes(tokenAt(place, used)?.lower ?? '')) used += 1
  const found = fractionAt(place, used) ?? wordAt(place, used) ?? logMarAt(place, used) ?? decimalAt(place, used)
  if (found !== undefined) {
    const value = name.value === '' ? found.shown : `${found.shown} ${name.value}`
    return { used: used + found.used, facts: [fact('acuity', 'acuity', value, value)] }
  }
  const unknown = unknownMark(place, used)
  if (unknown > 0) return { used: used + unknown, facts: [fact('acuity', 'acuity', undefined, 'not known')] }
  if (['', 'unaided'].includes(name.value) && ['vision', 'acuity', 'va', 'bcva'].includes(tokenAt(place, 0)?.lower ?? '')) {
    return {
      used: name.used,
      faults: [
        {
          kind: 'not-understood',
          field: 'acuity',
          blocks: false,
          message: 'acuity has no value here that can be read.',
          instead: 'VA 6/60, VA 20/200, VA 0.1, VA CF, VA HM or VA PL',
        },
      ],
    }
  }
  return undefined
}
