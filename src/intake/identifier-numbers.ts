import { matchAt } from './phrases.js'
import { KERATOMETRY_FORMS } from './read-keratometry.js'
import { QUANTITY_FORMS } from './read-measurement.js'
import { MOST_SUSPECTS, type Suspect } from './suspect.js'
import type { Token } from './tokens.js'

const RECORD_WORDS = new Set([
  'mrn',
  'nhs',
  'urn',
  'crn',
  'pid',
  'chi',
  'umrn',
  'hn',
  'nric',
  'ssn',
  'nino',
  'passport',
  'medicare',
  'hosp',
  'hospital',
  'record',
  'chart',
  'folder',
  'file',
  'ur',
  'id',
  'identifier',
  'accession',
  'uhid',
  'episode',
  'insurance',
  'ni',
  'hic',
  'medical',
])
const NUMBER_WORDS = new Set(['no', 'num', 'number', 'nr', '#', ':', '.', '-', 'is', '=', 'id', 'record', 'nos'])
const PHONE_WORDS = new Set([
  'tel',
  'telephone',
  'phone',
  'mobile',
  'mob',
  'ph',
  'cell',
  'fax',
  'landline',
  'contact',
  'call',
  'whatsapp',
  'ring',
  'bleep',
  'ext',
])
const JOINERS = new Set(['-', '.', '(', ')', '/', '+'])
/** No measurement has so many digits in a row. */
const LONG_RUN = 6
const LONG_CHAIN = 7

/** "12 03 1961" and "1961 03 12", and the groups of a number for calling that begins without a nought: "555-010-4477". */
const SPACED_DATE =
  /^(?:(?:0?[1-9]|[12]\d|3[01]) (?:0?[1-9]|1[0-2]) (?:19|20)\d\d|(?:19|20)\d\d (?:0[1-9]|1[0-2]) (?:0[1-9]|[12]\d|3[01]))$/
const PHONE_GROUPS = /^\d{3}-\d{3}-\d{4}$/

const digitsOf = (token: Token | undefined): string => (token === undefined ? '' : token.text.replace(/\D/g, ''))
const isDecimal = (token: Token): boolean => /[.,]/.test(token.text)

interface Chain {
  readonly end: number
  readonly digits: number
  readonly groups: number
  readonly leading: string
}

/** Numbers in a row with at most one blank, dash, stop or bracket between them, read as one. */
function chainAt(tokens: readonly Token[], at: number): Chain {
  const first = tokens[at] as Token
  let end = at
  let digits = digitsOf(first).length
  let groups = 1
  for (let next = at + 1; next < tokens.length && next < at + 40; next += 1) {
    const token = tokens[next] as Token
    if (token.line !== first.line || token.gap > 2) break
    if (token.kind === 'symbol' && JOINERS.has(token.text)) continue
    if (token.kind === 'date') {
      digits += digitsOf(token).length
      groups += 1
      end = next
      continue
    }
    if (token.kind !== 'number') break
    // A sign after a blank begins a value, as in a refraction; two decimals in a row are measurements.
    if (/^[+-]/.test(token.text) && token.gap > 0) break
    if (isDecimal(token) && token.gap > 0) break
    digits += digitsOf(token).length
    groups += 1
    end = next
  }
  return { end, digits, groups, leading: first.text }
}

const asTyped = (tokens: readonly Token[], at: number, { end }: Chain): string =>
  tokens
    .slice(at, end + 1)
    .map(({ text, gap }, index) => (index > 0 && gap > 0 ? ` ${text}` : text))
    .join('')

/** Whether a measurement's name stands just before: then two numbers are two readings, not one long one. */
function isMeasured(tokens: readonly Token[], at: number): boolean {
  for (let back = 1; back <= 4; back += 1) {
    const token = tokens[at - back]
    if (token === undefined || token.line !== tokens[at]?.line) return false
    if (token.kind === 'number') return false
    if (matchAt(QUANTITY_FORMS, tokens, at - back) !== undefined || matchAt(KERATOMETRY_FORMS, tokens, at - back) !== undefined)
      return true
  }
  return false
}

function afterWord(tokens: readonly Token[], at: number, words: ReadonlySet<string>): boolean {
  for (let back = 1; back <= 5; back += 1) {
    const token = tokens[at - back]
    if (token === undefined || token.line !== tokens[at]?.line) return false
    if (words.has(token.lower)) return true
    if (!NUMBER_WORDS.has(token.lower) && !(token.kind === 'word' && token.text.length <= 2) && token.kind !== 'symbol')
      return false
    if (token.text === ',' || token.text === ';') return false
  }
  return false
}

/** "patient no 44556": the word alone is no sign, as in "patient 172 cm"; with "no", "number" or "#" it is. */
function isPatientNumber(tokens: readonly Token[], at: number): boolean {
  let back = at - 1
  while (
    tokens[back]?.line === tokens[at]?.line &&
    tokens[back]?.kind === 'symbol' &&
    ['.', ':'].includes(tokens[back]?.text ?? '')
  )
    back -= 1
  const [sign, owner] = [tokens[back], tokens[back - 1]]
  return (
    sign?.line === tokens[at]?.line &&
    ['no', 'num', 'number', 'nr', '#', 'ref', 'reference'].includes(sign?.lower ?? '') &&
    owner?.line === sign?.line &&
    ['patient', 'pt', 'px', 'client', 'lab', 'sample'].includes(owner?.lower ?? '')
  )
}

/** Two letters, three pairs of figures and a letter, as on an insurance card: "QQ 12 34 56 C". */
function isInsuranceNumber(tokens: readonly Token[], at: number): boolean {
  const [letters, one, two, three, last] = tokens.slice(at - 1, at + 4)
  const pairs = [one, two, three].every((token) => token !== undefined && /^\d\d$/.test(token.text) && token.gap <= 1)
  return /^[A-Z]{2}$/.test(letters?.text ?? '') && pairs && /^[A-D]$/.test(last?.text ?? '') && (last?.gap ?? 2) <= 1
}

/** Letters that touch five digits or more, on either side: "H123456", "1234567X". */
function mixed(tokens: readonly Token[], at: number): boolean {
  const token = tokens[at] as Token
  if (isDecimal(token) || digitsOf(token).length < 5) return false
  const [before, after] = [tokens[at - 1], tokens[at + 1]]
  const touchesBefore = before?.kind === 'word' && token.gap === 0 && before.line === token.line
  const touchesAfter = after?.kind === 'word' && after.gap === 0 && after.line === token.line && after.text.length === 1
  return touchesBefore || touchesAfter
}

/** Record numbers, telephone numbers and long runs of digits. Looks at most forty tokens ahead, then goes on after them. */
export function numbersIn(tokens: readonly Token[]): readonly Suspect[] {
  const found: Suspect[] = []
  for (let at = 0; at < tokens.length && found.length < MOST_SUSPECTS; at += 1) {
    const token = tokens[at] as Token
    if (token.kind !== 'number') continue
    const digits = digitsOf(token).length
    const chain = chainAt(tokens, at)
    const last = tokens[chain.end]
    const isLong = digits >= 3 || (chain.groups > 1 && chain.digits >= 5)
    if (isLong && !isDecimal(token) && afterWord(tokens, at, RECORD_WORDS) && !isMeasured(tokens, at))
      found.push({ kind: 'record-number', token, last })
    else if ((digits >= 3 && isPatientNumber(tokens, at)) || (at > 0 && isInsuranceNumber(tokens, at)))
      found.push({ kind: 'record-number', token, last })
    else if (chain.digits >= LONG_RUN && afterWord(tokens, at, PHONE_WORDS) && !isMeasured(tokens, at))
      found.push({ kind: 'phone', token, last })
    else if (mixed(tokens, at)) found.push({ kind: 'record-number', token, last })
    else if (digits >= LONG_RUN && !isGrouped(token))
      found.push({ kind: /^\+|^0/.test(token.text) ? 'phone' : 'long-number', token, last })
    else if (
      chain.groups > 1 &&
      chain.digits >= LONG_CHAIN &&
      !isDecimalPair(tokens, at, chain) &&
      !(chain.groups === 2 && isMeasured(tokens, at))
    ) {
      const isPhone =
        /^\+\d|^0\d/.test(chain.leading) || tokens[at - 1]?.text === '(' || PHONE_GROUPS.test(asTyped(tokens, at, chain))
      const isDate = SPACED_DATE.test(asTyped(tokens, at, chain))
      found.push({ kind: isDate ? 'date-of-birth' : isPhone ? 'phone' : 'long-number', token, last })
    } else continue
    at = chain.end
  }
  return found
}

/** "29.84513" is one odd decimal, not a run of digits; more than five on either side of the point is a run. */
const isGrouped = (token: Token): boolean =>
  isDecimal(token) && token.text.split(/[.,]/).every((part) => part.replace(/\D/g, '').length <= 5)

/** A chain that begins with a decimal, or that a slash or an axis parts, is a row of readings: "42.10/43.20", "6/60". */
function isDecimalPair(tokens: readonly Token[], at: number, chain: Chain): boolean {
  const inside = tokens.slice(at, chain.end + 1)
  const decimals = inside.filter((token) => token.kind === 'number' && isDecimal(token)).length
  const strokes = inside.filter((token) => token.text === '/').length
  const longest = Math.max(...inside.map((token) => digitsOf(token).length))
  return decimals > 0 ? chain.groups <= 4 && chain.digits < 10 : strokes > 0 && longest <= 4
}
